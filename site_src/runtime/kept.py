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
    __future__ _colorize _opcode_metadata _py_warnings _pyodide _ssl _weakrefset annotationlib
    ast asyncio base64 bisect bz2 codeop collections compression concurrent contextlib
    contextvars copy copyreg dataclasses dis encodings enum fnmatch functools glob heapq
    importlib inspect json keyword linecache locale logging lzma opcode operator pathlib pyodide
    random re reprlib selectors shutil signal socket ssl string struct subprocess sysconfig
    tempfile textwrap threading token tokenize traceback types typing warnings weakref zipfile
    _sysconfigdata__emscripten_wasm32-emscripten
    """.split()
    # what numpy imports
    + "_compat_pickle ctypes datetime hmac numbers pickle platform secrets".split()
    # what calculators may import besides
    + """
    _ast_unparse _pylong _strptime calendar csv decimal fractions hashlib pkgutil queue statistics
    """.split()
)

# Of the modules inside the interpreter itself, those that calculators may import.
BUILT_IN = frozenset(
    """
    abc array builtins cmath codecs io itertools math os sys time unicodedata zlib
    """.split()
)

# Of the packages above, parts that nothing in a page asks for.
STDLIB_LEFT_OUT = (
    "asyncio/__main__.py",
    "asyncio/proactor_events.py",
    "asyncio/tools.py",
    "asyncio/windows_events.py",
    "asyncio/windows_utils.py",
    "concurrent/futures/interpreter.py",
    "concurrent/futures/process.py",
    "concurrent/interpreters/",
    "ctypes/_aix.py",
    "ctypes/macholib/",
    "ctypes/wintypes.py",
    "importlib/_bootstrap",  # inside the interpreter, as are util and machinery
    "importlib/machinery.py",
    "importlib/metadata/",
    "importlib/resources/",
    "importlib/util.py",
    "json/__main__.py",
    "json/tool.py",
    "logging/config.py",
    "logging/handlers.py",
    "pyodide/console.py",
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
