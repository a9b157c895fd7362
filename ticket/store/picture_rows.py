"""Pictures in the database: kept with the entry that holds their digest, found by its first digits, proved by it."""

from collections.abc import Iterable, Sequence

from sqlite_utils import Database

from ticket.job.errors import InputError, NotFoundError
from ticket.job.kinds import Fact
from ticket.job.picture import MOST, Picture, is_digest, is_name, name_of, picture_fields
from ticket.store.session import Session


def picture(session: Session, digest: str) -> Picture:
    """A picture by its digest."""
    with session.reading() as db:
        row = db.execute("SELECT content FROM picture WHERE digest = ?", [digest]).fetchone()
    picture = Picture(row[0]) if row else None
    if picture is None or picture.digest != digest:
        state = "is not in this shop" if picture is None else "was changed"
        raise NotFoundError(f"The picture {name_of(digest)} {state}: look for it in a backup.")
    return picture


def picture_named(session: Session, name: str) -> str:
    """The digest that begins so. Raises :class:`NotFoundError` where none does, or several do."""
    found = []
    if is_name(name):
        with session.reading() as db:
            rows = db.execute("SELECT digest FROM picture WHERE digest GLOB ? LIMIT 2", [f"{name}*"])
            found = [row[0] for row in rows.fetchall()]
    if len(found) != 1:
        lead = "Several pictures begin" if found else "No picture of this shop begins"
        raise NotFoundError(f"{lead} with {name}.")
    return str(found[0])


def keep(db: Database, pictures: Iterable[Picture]) -> None:
    """Put pictures beside the entries of the same transaction; one that is here already is the same by its digest."""
    for picture in pictures:
        if len(picture.content) > MOST:
            raise InputError(f"The picture {name_of(picture.digest)} is larger than {MOST:,} bytes; nothing was kept.")
        if not db.execute("SELECT 1 FROM picture WHERE digest = ?", [picture.digest]).fetchone():
            db.execute("INSERT INTO picture(digest, content) VALUES(?, ?)", [picture.digest, picture.content])


def check(db: Database, facts: Sequence[Fact]) -> None:
    """Every picture an entry names is here. Raises :class:`InputError`."""
    check_named(db, named(facts))


def named(facts: Iterable[Fact]) -> tuple[tuple[str, str], ...]:
    """The pictures some facts name, each behind the kind of its entry."""
    return tuple((fact.kind, getattr(fact, name)) for fact in facts for name in picture_fields(type(fact)))


def check_named(db: Database, pictures: Iterable[tuple[str, str]]) -> None:
    """Each of some named pictures is here. Raises :class:`InputError`."""
    for kind, digest in pictures:
        if not is_digest(digest):
            raise InputError(f"{kind}: “{digest}” is no picture that was taken; nothing was written.")
        if not db.execute("SELECT 1 FROM picture WHERE digest = ?", [digest]).fetchone():
            raise InputError(
                f"The picture {name_of(digest)} is neither in this shop nor beside its entry; nothing was written."
            )
