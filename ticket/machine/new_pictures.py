"""The newest picture files of a folder, to be offered while a line is typed."""

from pathlib import Path

ENDINGS = (".jpg", ".jpeg", ".png", ".webp", ".heic")

_MOST_LOOKED_AT = 5000  # files of a folder; a folder of years of pictures must not stop the typing

_MOST_OFFERED = 12


def newest_pictures(folder: str) -> tuple[str, ...]:
    """The newest picture files of a folder, the newest first; none without a folder or where it cannot be read."""
    if not folder:
        return ()
    found = []
    try:
        for seen, file in enumerate(Path(folder).expanduser().iterdir()):
            if seen >= _MOST_LOOKED_AT:
                break
            if file.suffix.lower() in ENDINGS and file.is_file():
                found.append((file.stat().st_mtime_ns, file.name))
    except OSError:
        return ()
    return tuple(name for _, name in sorted(found, reverse=True)[:_MOST_OFFERED])
