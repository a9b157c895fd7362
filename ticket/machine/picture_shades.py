"""A picture as characters of five shades, for a terminal: what it shows at a glance; the viewer shows it whole."""

from io import BytesIO

from ticket.job.errors import InputError

SHADES = " ░▒▓█"
"""From the ground of the terminal to its ink."""
_TALL = 2.0  # a cell is about twice as high as wide


def shades(content: bytes, columns: int, rows: int, *, light: bool = False) -> tuple[str, ...]:
    """The lines of a picture on at most so many cells; in its own shape.

    Args:
        content: the picture's file.
        columns: cells beside each other.
        rows: lines.
        light: the terminal's ground is light, so that ink is dark.

    Raises:
        InputError: it cannot be read as a picture.
    """
    from PIL import Image, ImageOps

    try:
        with Image.open(BytesIO(content)) as image:
            grey = ImageOps.autocontrast(image.convert("L"))
    except (OSError, ValueError) as error:
        raise InputError(f"The picture cannot be shown here: {error}") from error
    scale = min(columns / grey.width, rows * _TALL / grey.height)
    size = max(round(grey.width * scale), 1), max(round(grey.height * scale / _TALL), 1)
    small = grey.resize(size)
    steps = len(SHADES) - 1
    order = SHADES[::-1] if light else SHADES
    values = small.tobytes()
    return tuple(
        "".join(order[round(value * steps / 255)] for value in values[y * size[0] : (y + 1) * size[0]])
        for y in range(size[1])
    )
