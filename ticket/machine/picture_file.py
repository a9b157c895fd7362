"""A picture file as the shop keeps it: read within bounds, turned upright, made small, and nothing left but pixels.

A photo tells where and when it was taken and by which device; none of that goes to a customer. So the pixels alone
are written anew, as a JPEG, whatever the file held beside them.
"""

import warnings
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.errors import InputError
from ticket.job.picture import MOST, Picture
from ticket.job.text import one_line
from ticket.machine.input_files import read_plain

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST_SIDE = 2000
"""Pixels of the longer side of a picture as it is kept."""
MOST_FILE = 64 * 1024 * 1024
"""Bytes of a picture file."""
MOST_PIXELS = 120_000_000
"""Pixels of a picture file; a small file may unfold to more than a machine holds."""
_QUALITIES = (88, 80, 70, 55, 40)
_HINT = "JPEG, PNG and WebP are read, and HEIC where pillow-heif is installed"


def picture_file(path: Path) -> Picture:
    """A picture file as the shop keeps it. Raises :class:`InputError` with the reason; nothing was kept."""
    return picture_from(read_plain(path, MOST_FILE), one_line(str(path)))


def picture_from(data: bytes, shown: str) -> Picture:
    """The bytes of a picture file as the shop keeps them; ``shown`` names the file. Raises :class:`InputError`."""
    from PIL import Image, ImageOps

    try:
        with _opened(data, shown) as image:
            image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a large JPEG need not be unfolded whole
            upright = ImageOps.exif_transpose(image)
            plain = _plain(upright)
            plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
            return _written(plain, shown)
    except InputError:
        raise
    except Exception as error:  # noqa: BLE001 - whatever a broken file does to its reader is one thing to a person
        raise InputError(f"{shown} is broken ({_reason(error)}); nothing was kept. Copy or take it again.") from None


def checked(picture: Picture) -> Picture:
    """A picture that came with a document: as this program writes them. Raises :class:`InputError`."""
    shown = f"the picture {picture.digest[:12]}"
    with _opened(picture.content, shown) as image:
        kept = image.format == "JPEG" and max(image.size) <= LONGEST_SIDE and len(picture.content) <= MOST
        if not kept or image.getexif() or "comment" in image.info:
            raise InputError(f"{shown} was not written by this program; nothing was loaded.")
        try:
            image.load()
        except Exception as error:  # noqa: BLE001 - as above
            raise InputError(f"{shown} is broken ({_reason(error)}); nothing was loaded.") from None
    return picture


def _opened(data: bytes, shown: str) -> "Image":
    """A picture whose head was read, and nothing of its pixels yet."""
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # the bound is our own, below
            image = Image.open(BytesIO(data), formats=_formats())
    except Image.DecompressionBombError:
        raise InputError(_too_large(shown)) from None
    except Exception:  # noqa: BLE001 - a hostile file may break its reader in any way
        raise InputError(f"{shown} is no picture this program reads: {_HINT}; nothing was kept.") from None
    if image.width * image.height > MOST_PIXELS:
        image.close()
        raise InputError(_too_large(shown))
    return image


def _formats() -> tuple[str, ...]:
    plain = ("JPEG", "PNG", "WEBP")
    try:
        from pillow_heif import register_heif_opener
    except ImportError:
        return plain
    register_heif_opener(thumbnails=False)
    return (*plain, "HEIF")


def _plain(image: "Image") -> "Image":
    """The pixels alone, in the colours of the screen, on white where the picture lets something shine through."""
    from PIL import Image

    if image.has_transparency_data:
        seen = image.convert("RGBA")
        ground = Image.new("RGB", seen.size, "white")
        ground.paste(seen, mask=seen.getchannel("A"))
        image = ground
    mode = image.mode if image.mode in ("L", "RGB") else "RGB"
    plain = _standard(image).convert(mode)
    plain.info.clear()  # a comment of the file would be written along
    return plain


def _standard(image: "Image") -> "Image":
    """The picture in sRGB, which is what a picture without a profile is taken for."""
    profile = image.info.get("icc_profile")
    if not profile or image.mode not in ("RGB", "CMYK", "L"):
        return image
    from PIL import ImageCms

    try:
        own = ImageCms.ImageCmsProfile(BytesIO(profile))
        turned = ImageCms.profileToProfile(image, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        return image  # its colours are a little off; what it shows is the same
    return turned or image


def _written(image: "Image", shown: str) -> Picture:
    for quality in _QUALITIES:
        out = BytesIO()
        image.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= MOST:
            return Picture(out.getvalue())
    raise InputError(f"{shown} does not fit {MOST // 1_000_000} MB even made small; nothing was kept.")


def _too_large(shown: str) -> str:
    return f"{shown} unfolds to more than {MOST_PIXELS // 1_000_000} million pixels; nothing was kept."


def _reason(error: Exception) -> str:
    return one_line((getattr(error, "strerror", None) or str(error) or type(error).__name__).lower())
