"""What the browser's standard library and numpy keep, and what they leave out.

Everything not named here is left out. `tests/runtime/test_packed.py` starts the
packed runtime and imports the whole core and numpy; packing itself refuses a
core that imports a module which is not here.
"""

from __future__ import annotations

__all__ = [
    "BUILT_IN",
    "CODECS",
    "CORE_LEFT_OUT",
    "NUMPY_LEFT_OUT",
    "NUMPY_SUFFIXES",
    "STANDARD_LIBRARY",
    "STDLIB_LEFT_OUT",
]

# Top-level modules and packages of the standard library.
STANDARD_LIBRARY = frozenset(
    # what the runtime imports while it starts
    """
    __future__ _collections_abc _colorize _opcode_metadata _py_warnings _pyodide _sitebuiltins
    _ssl _weakrefset abc annotationlib ast asyncio base64 bisect bz2 codecs codeop collections
    compression concurrent contextlib contextvars copy copyreg dataclasses dis encodings enum
    fnmatch functools genericpath glob heapq importlib inspect io json keyword linecache locale
    logging lzma ntpath opcode operator os pathlib posixpath pyodide random re reprlib selectors
    shutil signal site socket ssl stat string struct subprocess sysconfig tempfile textwrap
    threading token tokenize traceback types typing warnings weakref zipfile zipimport
    _sysconfigdata__emscripten_wasm32-emscripten
    """.split()
    # what numpy imports
    + "_compat_pickle ctypes datetime hmac numbers pickle platform secrets".split()
    # what calculators may import besides
    + """
    _ast_unparse _pylong _strptime calendar csv decimal fractions hashlib pkgutil queue statistics
    """.split()
)

# Modules inside the interpreter itself, of those that calculators may import.
BUILT_IN = frozenset("array builtins cmath itertools math sys time unicodedata zlib".split())

# Of the packages above, parts that nothing in a page asks for.
STDLIB_LEFT_OUT = (
    "asyncio/__main__.py",
    "asyncio/tools.py",
    "asyncio/windows_events.py",
    "asyncio/windows_utils.py",
    "concurrent/futures/process.py",
    "ctypes/macholib/",
    "ctypes/wintypes.py",
    "importlib/metadata/",
    "importlib/resources/",
    "json/__main__.py",
    "json/tool.py",
    "sysconfig/__main__.py",
    "zipfile/__main__.py",
)

# Of the 120 text encodings, those of Python itself, zip archives and pickles.
CODECS = frozenset(
    """
    __init__ aliases ascii charmap cp1252 cp437 latin_1 raw_unicode_escape unicode_escape
    utf_16 utf_16_be utf_16_le utf_8 utf_8_sig
    """.split()
)

# Of numpy: tests, what builds extensions, and what only type checkers read.
NUMPY_LEFT_OUT = (
    "/tests/",
    "/_core/include/",
    "/_core/lib/",
    "/_pyinstaller/",
    "/f2py/",
    "/random/lib/",
    "/testing/",
    "_tests.cpython-",
)
NUMPY_SUFFIXES = (".py", ".so")

# Of the core: its command line, which has no terminal in a page.
CORE_LEFT_OUT = tuple(
    f"calculators/{name}.py"
    for name in "__main__ _bench_commands _invent_command _job_commands _terminal sweep".split()
)
