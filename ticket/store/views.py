"""One view per kind of entry, for people who read the file with their own tools. Generated from the declarations.

``SELECT what, number, limits FROM v_found`` needs no knowledge of JSON. Views hold no data, so they are no
migration: they are dropped and remade whenever the program's own text for them differs.
"""

# ruff: noqa: S608 - every name in this SQL is a declaration of this program

import sys
from hashlib import sha256
from pathlib import Path

from sqlite_utils import Database

from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import KINDS, Fact
from ticket.store.stored_values import HEADER_FIELDS, is_private

_NAMES = {
    "vehicle/label": "vehicle", "vehicle/vin": "vin", "vehicle/plate": "plate", "customer/name": "customer",
}  # fmt: skip
# Readings stand in a run on older tickets, else one by one; a view shows both alike.
_VALUES = "json_each(e.data, '$.run.values') AS v"
_ONE_BY_ONE = "json_each(e.data, '$.measurements') AS v"
_MEASURING = [f"'{word}'" for word, kind in KINDS.items() if any(s.shape == "measurements" for s in specs(kind))]
_LABEL, _NUMBER = "json_extract(v.value, '$.label')", "json_extract(v.value, '$.number')"
_AT = "(SELECT group_concat(a.value, ' ') FROM json_each(v.value, '$.at') AS a)"
_TO, _THAN, _VALUE = (f"json_extract(v.value, '$.{part}')" for part in ("to", "than", "value"))
_TYPED = (
    f"CASE WHEN {_TO} IS NOT NULL THEN {_VALUE} || '-' || {_TO} "
    f"WHEN {_THAN} = '>=' THEN {_VALUE} || '+' ELSE coalesce({_THAN}, '') || {_VALUE} END"
)


def _shown(label: str, number: str) -> str:
    return f"trim(coalesce({label}, '') || ' ' || {number})"


def _limits(at: str) -> str:
    """The limits at a place, ``e.data, '$.run.limits`` or ``v.value, '$.limits``, in words."""
    low, high, nominal, tol, spread, unit, source, own = (
        f"json_extract({at}.{part}')"
        for part in ("low", "high", "nominal", "tol", "spread", "spread_unit", "source", "unit")
    )
    bounds = (
        f"CASE WHEN {nominal} IS NOT NULL THEN {nominal} || coalesce(' +/- ' || {tol}, '') "
        f"WHEN {low} IS NOT NULL AND {high} IS NOT NULL THEN {low} || ' to ' || {high} "
        f"WHEN {low} IS NOT NULL THEN 'min ' || {low} WHEN {high} IS NOT NULL THEN 'max ' || {high} ELSE '' END "
        f"|| coalesce(' ' || {own}, '')"
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
        return {}  # beside the measurements, in their columns
    if spec.shape == "measurements":
        return _measured()
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


def _measured() -> dict[str, str]:
    """Readings in one row; several units or limits are listed, each once."""

    def listed(what: str) -> str:
        return f"(SELECT group_concat(one, ', ') FROM (SELECT DISTINCT {what} AS one FROM {_ONE_BY_ONE}))"

    held = "json_type(e.data, '$.run') IS NOT NULL"
    older = f"(SELECT group_concat({_shown(_LABEL, _NUMBER)}, ', ') FROM {_VALUES})"
    newer = f"(SELECT group_concat({_shown(_AT, _TYPED)}, ', ') FROM {_ONE_BY_ONE})"
    unit, limits = listed("json_extract(v.value, '$.unit')"), listed(_limits("v.value, '$.limits"))
    older_limits = _limits("e.data, '$.run.limits")
    return {
        "number": f"iif({held}, {older}, {newer})",
        "unit": f"iif({held}, json_extract(e.data, '$.run.unit'), {unit})",
        "limits": f"iif({held}, {older_limits}, {limits})",
    }


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
    entry = {"ticket": "t.number", "no": "e.no", "kind": "e.kind"}
    older = entry | {
        "what": "json_extract(e.data, '$.what')", "label": _LABEL, "number": _NUMBER,
        "unit": "json_extract(e.data, '$.run.unit')", "limits": _limits("e.data, '$.run.limits"),
    }  # fmt: skip
    start, end = "json_extract(s.value, '$.start')", "json_extract(s.value, '$.end')"
    words = f"group_concat(substr(json_extract(e.data, '$.what'), {start} + 1, {end} - {start}), ' ')"
    newer = entry | {
        "what": f"(SELECT {words} FROM json_each(v.value, '$.of') AS s)", "label": _AT, "number": _TYPED,
        "unit": "json_extract(v.value, '$.unit')", "limits": _limits("v.value, '$.limits"),
    }  # fmt: skip
    rows = "FROM entry AS e JOIN ticket AS t ON t.id = e.ticket_id JOIN {}"
    rows += f" WHERE e.kind IN ({', '.join(_MEASURING)}) AND e.struck = 0"
    parts = (
        f"SELECT\n{_named(columns)}\n{rows.format(at)}" for columns, at in ((older, _VALUES), (newer, _ONE_BY_ONE))
    )
    return f"CREATE VIEW v_reading AS {' UNION ALL '.join(parts)};\n"


def _named(columns: dict[str, str]) -> str:
    return ",\n".join(f'  {expression} AS "{column}"' for column, expression in columns.items())


def _create(name: str, columns: dict[str, str], source: str) -> str:
    return f"CREATE VIEW {name} AS SELECT\n{_named(columns)}\nFROM {source};\n"


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
