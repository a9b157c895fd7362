"""Where the files that travel with the program are: schemas and demo jobs."""

from pathlib import Path

_PACKAGE = Path(__file__).parent


def data_folder(name: str) -> Path:
    """The folder ``schemas`` or ``demo_jobs``: inside the installed package, else beside it in a checkout."""
    installed = _PACKAGE / "_data" / name
    return installed if installed.is_dir() else _PACKAGE.parent / name
