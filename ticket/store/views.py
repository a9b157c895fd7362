"""One view per kind of entry, for people who read the file with their own tools. Generated from the declarations.

``SELECT what, number, limits FROM v_found`` needs no knowledge of JSON. Views hold no data, so they are no
migration: they are dropped and remade whenever the program's own text for them differs.
"""

# ruff: noqa: S608 - every name in this SQL is a declaration of this program

import sys
from hashlib import sha256
from pathlib import Path

from sqlite_utils import Database

from ticket.job.fields import FieldSpec, specs
from ticket.job.kinds import KINDS, Fact
from ticket.store.stored import HEADER_FIELDS, is_private

_NAMES = {
    "vehicle/label": "vehicle", "vehicle/vin": "vin", "vehicle/plate": "plate", "customer/name": "customer",
}  # fmt: skip
_VALUES = "json_each(e.data, '$.{name}.values') AS v"
_ONE = "trim(coalesce(json_extract(v.value, '$.label'), '') || ' ' || json_extract(v.value, '$.number'))"
_PART = "json_extract(e.data, '$.{name}.limits.{part}')"


def _limits(name: str) -> str:
    low, high, nominal, tol, spread, unit, source = (
        _PART.format(name=name, part=part)
        for part in ("low", "high", "nominal", "tol", "spread", "spread_unit", "source")
    )
    bounds = (
        f"CASE WHEN {nominal} IS NOT NULL THEN {nominal} || coalesce(' +/- ' || {tol}, '') "
        f"WHEN {low} IS NOT NULL AND {high} IS NOT NULL THEN {low} || ' to ' || {high} "
        f"WHEN {low} IS NOT NULL THEN 'min ' || {low} WHEN {high} IS NOT NULL THEN 'max ' || {high} ELSE '' END"
    )
    widest = (
        f"CASE WHEN {spread} IS NULL THEN '' ELSE iif(({bounds}) = '', '', ', ') || 'spread ' || {spread} "
        f"|| coalesce(' ' || {unit}, '') END"
    )
    return f"nullif(trim(({bounds}) || ({widest}) || coalesce(' per ' || {source}, '')), '')"


def _ref(at: str) -> str:
    """``7``, or ``2107/12`` for another ticket's entry."""
    return f"coalesce(json_extract({at}, '$.ticket') || '/', '') || json_extract({at}, '$.no')"


def _list(name: str, shown: str, between: str = ", ") -> str:
    return f"(SELECT group_concat({shown}, '{between}') FROM json_each(e.data, '$.{name}') AS v)"


def _columns(spec: FieldSpec) -> dict[str, str]:
    """The columns a field gives, with their expression; ``e`` is the entry."""
    name = spec.name
    plain = f"json_extract(e.data, '$.{name}')"
    if spec.private:
        held = f"(SELECT value FROM identity WHERE id = json_extract(e.data, '$.{name}.identity'))"
        return {name: held}
    if spec.shape == "run":
        values = f"(SELECT group_concat({_ONE}, ', ') FROM {_VALUES.format(name=name)})"
        return {"number": values, "unit": f"json_extract(e.data, '$.{name}.unit')", "limits": _limits(name)}
    if spec.shape == "refs":
        return {name: _list(name, _ref("v.value"))}
    if spec.shape == "ref":
        at = f"json_extract(e.data, '$.{name}')"
        return {name: f"CASE WHEN {at} IS NOT NULL THEN {_ref(at)} END"}
    if spec.shape == "clock":
        return {name: _list(name, "json_extract(v.value, '$.start') || '-' || json_extract(v.value, '$.end')")}
    if spec.shape == "answers":
        to = f"(SELECT group_concat({_ref('r.value')}, ' ') FROM json_each(v.value, '$.to') AS r)"
        return {name: _list(name, f"json_extract(v.value, '$.answer') || coalesce(' ' || {to}, '')", "; ")}
    if spec.shape == "due":
        return {
            f"{name}_{part}": f"json_extract(e.data, '$.{name}.{part}.number') || ' ' "
            f"|| json_extract(e.data, '$.{name}.{part}.unit')"
            for part in ("distance", "time", "hours")
        }
    return {name: plain}


def _view(kind: type[Fact]) -> str:
    columns = {
        "ticket": "t.number", "no": "e.no", "concern": "e.concern",
        "written_by": "(SELECT name FROM person WHERE id = e.person_id)", "written_at": "e.at",
    }  # fmt: skip
    for spec in specs(kind):
        columns |= _columns(spec)
    columns |= {
        "shop_only": "e.shop_only", "struck": "e.struck", "amended": "e.amend IS NOT NULL",
        "replaces": "e.replaces", "reason": "e.reason",
    }  # fmt: skip
    return _create(
        f"v_{kind.kind}", columns, f"entry AS e JOIN ticket AS t ON t.id = e.ticket_id WHERE e.kind = '{kind.kind}'"
    )


def _ticket_view() -> str:
    columns = {
        "number": "t.number", "status": "t.status", "opened": "t.opened", "closed": "t.closed",
        "signed_by": "(SELECT name FROM person WHERE id = t.signed_by)",
    }  # fmt: skip
    for field in HEADER_FIELDS:
        part, _, last = field.rpartition("/")
        name = _NAMES.get(field, last if part in ("", "vehicle", "customer") else f"{part}_{last}")
        at = field.replace("/", ".")
        if is_private(field):
            held = f"json_extract(t.header, '$.{at}.identity')"
            columns[name] = f"(SELECT value FROM identity WHERE id = {held})"
        elif name.startswith("odometer"):
            columns[name] = f"json_extract(t.header, '$.{at}.number')"
            columns[f"{name}_unit"] = f"json_extract(t.header, '$.{at}.unit')"
        else:
            columns[name] = f"json_extract(t.header, '$.{at}')"
    return _create("v_ticket", columns | {"seal": "t.seal", "updated": "t.updated"}, "ticket AS t")


def _reading_view() -> str:
    """One row per measured value, of findings and verifications that still stand."""
    columns = {
        "ticket": "t.number", "no": "e.no", "kind": "e.kind", "what": "json_extract(e.data, '$.what')",
        "label": "json_extract(v.value, '$.label')", "number": "json_extract(v.value, '$.number')",
        "unit": "json_extract(e.data, '$.run.unit')", "limits": _limits("run"),
    }  # fmt: skip
    source = f"entry AS e JOIN ticket AS t ON t.id = e.ticket_id JOIN {_VALUES.format(name='run')}"
    return _create("v_reading", columns, f"{source} WHERE e.kind IN ('found', 'proof') AND e.struck = 0")


def _create(name: str, columns: dict[str, str], source: str) -> str:
    body = ",\n".join(f'  {expression} AS "{column}"' for column, expression in columns.items())
    return f"CREATE VIEW {name} AS SELECT\n{body}\nFROM {source};\n"


def views_sql() -> dict[str, str]:
    """Every view by its name, as SQL."""
    made = {f"v_{word}": _view(kind) for word, kind in KINDS.items()}
    return {"v_ticket": _ticket_view(), **made, "v_reading": _reading_view()}


def remake_views(db: Database, version: str) -> None:
    """Drop and remake the views where another version of the program, or none, made those that are there."""
    wanted = views_sql()
    digest = sha256("".join(wanted.values()).encode()).hexdigest()[:16]
    mark = f"CREATE VIEW v_made_by AS SELECT '{_quoted(version)}' AS version, '{digest}' AS digest"
    found = db.execute("SELECT sql FROM sqlite_schema WHERE type = 'view' AND name = 'v_made_by'").fetchone()
    if found and found[0] == mark:
        return
    for name in db.view_names():
        if name.startswith("v_"):
            db.execute(f'DROP VIEW "{name}"')
    for sql in (*wanted.values(), mark):
        db.execute(sql)


def views_file() -> str:
    """The text of ``schemas/sql/views.sql``, for people who read the views there."""
    note = "-- Generated from the declarations of the entries; the program makes these views itself.\n"
    return "\n".join([note, *views_sql().values()])


def _quoted(text: str) -> str:
    return text.replace("'", "''")


if __name__ == "__main__":
    Path(sys.argv[1], "views.sql").write_text(views_file(), encoding="utf-8")
