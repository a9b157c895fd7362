"""Picture files for tests, made while the test runs."""

from io import BytesIO
from pathlib import Path

from PIL import Image


def scene(width: int = 640, height: int = 480, colour: str = "teal") -> Image.Image:
    """A picture whose upper left corner is red, so that it shows which way it is turned."""
    image = Image.new("RGB", (width, height), colour)
    image.paste("red", (0, 0, width // 4, height // 4))
    return image


def as_bytes(image: Image.Image, form: str = "JPEG", **more: object) -> bytes:
    """The picture as a file of a form."""
    out = BytesIO()
    image.save(out, form, **more)
    return out.getvalue()


def phone_photo(width: int = 640, height: int = 480) -> bytes:
    """A JPEG as a phone writes it: place, device, time and owner in its EXIF, XMP and comment, turned by a tag."""
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x013B] = "Invented Maker", "Device 7", "Ada Fenn"
    exif[0x0112] = 6  # to be turned by 90 degrees
    exif.get_ifd(0x8769)[0x9003] = "2026:03:02 08:30:00"
    exif.get_ifd(0x8769)[0xA431] = "SERIAL-4711"
    exif.get_ifd(0x8825)[1], exif.get_ifd(0x8825)[2] = "N", (51.0, 30.0, 0.0)
    return as_bytes(
        scene(width, height), exif=exif, comment=b"taken at home", xmp=b"<x:xmpmeta>Ada Fenn, SERIAL-4711</x:xmpmeta>"
    )


def write_photo(folder: Path, name: str = "fan-housing.jpg", data: bytes = b"") -> Path:
    """A picture file in a folder."""
    path = folder / name
    path.write_bytes(data or phone_photo())
    return path
