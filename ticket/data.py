"""Where the files that travel with the program are: schemas, demo jobs, examples of files a shop may write."""

from pathlib import Path

_PACKAGE = Path(__file__).parent


def data_folder(name: str) -> Path:
    """The folder ``schemas``, ``demo_jobs`` or ``examples``: in the installed package, else beside it in a checkout."""
    installed = _PACKAGE / "_data" / name
    return installed if installed.is_dir() else _PACKAGE.parent / name
