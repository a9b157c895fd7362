"""Which tickets are of one vehicle: by its identification number, by its plate where one of two has no number."""

from sqlite_utils import Database


def vehicle_key(part: str, ticket: str = "t") -> str:
    """A plate or an identification number as indexed (see the schema): upper case, no spaces, no dashes."""
    return f"upper(replace(replace(json_extract({ticket}.header,'$.vehicle.{part}'),' ',''),'-',''))"


def same_vehicle(db: Database, ticket: int) -> tuple[int, ...]:
    """Numbers of the other tickets of a ticket's vehicle, newest first.

    The same identification number, or the same plate where one of the two has no identification number.
    """
    vin, plate = vehicle_key("vin"), vehicle_key("plate")
    row = db.execute(f"SELECT {vin}, {plate} FROM ticket AS t WHERE t.id = ?", [ticket]).fetchone()  # noqa: S608
    found: set[tuple[int, int]] = set()
    if row[0]:
        found |= _matching(db, f"{vin} = ?", row[0])
    if row[1]:
        unnamed = f" AND coalesce({vin}, '') = ''" if row[0] else ""
        found |= _matching(db, f"{plate} = ?{unnamed}", row[1])
    return tuple(number for found_id, number in sorted(found, reverse=True) if found_id != ticket)


def _matching(db: Database, where: str, value: str) -> set[tuple[int, int]]:
    return set(db.execute(f"SELECT t.id, t.number FROM ticket AS t WHERE {where}", [value]).fetchall())  # noqa: S608


def plain(name: str) -> str:
    """A plate, a vehicle's number or a part's as it is compared: upper case, no spaces, no dashes."""
    return "".join(name.upper().replace("-", "").split())
