"""The browser's Python and front-end libraries: fetched, verified, packed."""
