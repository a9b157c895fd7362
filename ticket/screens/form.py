"""Forms: fields under headings, Enter goes on, one key saves, a half form is kept and offered again."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Input, Static

from ticket.grid.signs import HERE, UNREAD
from ticket.job.width import cells
from ticket.machine.draft_lines import DraftLines
from ticket.screens.actions import key_for
from ticket.screens.choice import Choice
from ticket.screens.frame import Frame, strip
from ticket.screens.look import look_on
from ticket.screens.page import Page
from ticket.screens.prompt import Field

_LONGEST = 24
"""Cells of the longest title."""


@dataclass(frozen=True, slots=True)
class FormField:
    """A field of a form.

    Attributes:
        name: under which its text is asked for.
        title: what people call it.
        text: what stands in it first; of a choice the value that is chosen.
        hint: what belongs in it, right of it while it is empty.
        group: the heading it stands under.
        width: cells of the field; 0 for all that is left.
        choices: the values with what is shown for each, where it takes no text.
    """

    name: str
    title: str
    text: str = ""
    hint: str = ""
    group: str = ""
    width: int = 30
    choices: tuple[tuple[str, str], ...] = ()


def same(*values: str) -> tuple[tuple[str, str], ...]:
    """Choices that are shown as they are kept."""
    return tuple((value, value) for value in values)


class FieldRow(Horizontal):
    """One field with its sign, its title and what is told beside it."""

    def __init__(self, field: FormField, title_width: int) -> None:
        super().__init__(classes="row")
        self.field = field
        self.title_width = title_width
        self.beside, self.flawed = field.hint, False

    def compose(self) -> ComposeResult:
        """Sign and title, the field, what is told beside it."""
        field = self.field
        head = Static("", markup=False, classes="head")
        head.styles.width = self.title_width + 2
        yield head
        if field.choices:
            yield Choice(field.choices, field.text, id=f"field-{field.name}")
        else:
            made = Field(field.text, id=f"field-{field.name}", placeholder="" if field.width else field.hint)
            if field.width:
                made.styles.width = field.width + 1  # the caret needs a cell behind the text
            yield made
            if field.width:
                yield Static("", markup=False, classes="beside")

    def on_mount(self) -> None:
        """Draw it."""
        self.draw(here=False)

    def tell(self, text: str, *, flawed: bool) -> None:
        """What is told beside the field: what it read, what belongs there, or what is wrong."""
        if (text, flawed) != (self.beside, self.flawed):
            self.beside, self.flawed = text, flawed
            self.draw(here=self.has_class("here"))

    def cut_off(self) -> bool:
        """Whether what is told beside the field has no room there."""
        return any(cells(self.beside) + 2 > beside.size.width for beside in self.query(".beside"))

    def draw(self, *, here: bool) -> None:
        """Draw sign, title and words."""
        from rich.text import Text

        shown = look_on(self.app)
        self.set_class(here, "here")
        head = Text().append(shown.drawn(HERE) if here else " ", shown.style("strong"))
        head.append(UNREAD if self.flawed else " ", shown.style("ask"))
        head.append(f"{self.field.title:<{self.title_width - 1}}", shown.style("strong" if here else "ink"))
        head.append(" " if shown.banded or self.field.choices else "[", shown.style("quiet"))
        self.query_one(".head", Static).update(head)
        for beside in self.query(".beside").results(Static):
            end = Text().append("  " if shown.banded else "] ", shown.style("quiet"))
            beside.update(end.append(shown.drawn(self.beside), shown.style("ask" if self.flawed else "quiet")))


class Form(Frame):
    """A screen of fields, one row each, under headings.

    Enter goes to the next field and writes nothing; one key saves. What was typed and not saved is kept, also where
    the program ends, and stands there again when the form is opened the next time.

    Attributes:
        first: what stood in the fields when the form was opened.
        answered: the sentence under the fields.
    """

    first: dict[str, str]
    answered: str = ""

    subject: ClassVar[str] = "form"
    AUTO_FOCUS: ClassVar[str | None] = "Field, Choice"
    DEFAULT_CSS = """
    Form #fields { height: 1fr; scrollbar-size-vertical: 1; }
    Form .row { height: 1; width: 1fr; }
    Form .group { height: 2; padding: 1 0 0 2; color: $tone-strong; text-style: bold; }
    Form .apart { height: 1; }
    Form .row Input, Form .row Input:focus { border: none; height: 1; padding: 0; background: $tone-field; width: 1fr; }
    Form .row Input:focus { background: $tone-here; background-tint: transparent 0%; }
    Form .beside { width: 1fr; height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    Form #rule { height: 1; }
    Form #why { padding: 0 1; height: auto; max-height: 4; }
    """

    def rows(self) -> Iterable[FormField]:
        """The fields."""
        raise NotImplementedError

    def kept_as(self) -> tuple[DraftLines, str] | None:
        """Where a half form is kept, and under which name; ``None`` where it is not."""
        return None

    def compose(self) -> ComposeResult:
        """The fields under their headings, and a place for what is wrong or follows."""
        yield strip("top")
        fields = list(self.rows())
        width = min(max((cells(field.title) for field in fields), default=8), _LONGEST) + 2
        group = ""
        with VerticalScroll(id="fields", can_focus=False):
            if fields and not fields[0].group:
                yield Static("", classes="apart")
            for field in fields:
                if field.group != group:
                    group = field.group
                    yield Static(group, markup=False, classes="group")
                yield FieldRow(field, width)
        yield strip("rule")
        yield Static("", id="why", markup=False)
        yield strip("hints")

    def on_mount(self) -> None:
        """What was typed before and not saved stands there again."""
        self.first = self.values()
        kept = self.kept_as()
        left = _read(kept[0].left(kept[1])) if kept else {}
        for name, text in left.items():
            if name in self.first:
                control = self.control(name)
                control.put(text)
                if isinstance(control, Field):  # who comes back goes on typing; what only stood there is typed over
                    control.select_on_focus = False
        if left:
            self.answer(f"What you typed here before is back; {key_for('afresh')} throws it away.")

    def controls(self) -> list[Field | Choice]:
        """The fields and choices one can go to, from the top."""
        found = self.query("#fields Field, #fields Choice")
        return [one for one in found if isinstance(one, Field | Choice) and not one.disabled]

    def control(self, name: str) -> "Field | Choice":
        """A field or a choice by its name."""
        found = self.query_one(f"#field-{name}")
        if not isinstance(found, Field | Choice):
            raise KeyError(name)
        return found

    def typed(self, name: str) -> str:
        """What stands in a field, or is chosen."""
        return self.control(name).value

    def values(self) -> dict[str, str]:
        """What stands in every field."""
        return {row.field.name: self.typed(row.field.name) for row in self.query(FieldRow)}

    def answer(self, text: str) -> None:
        """One sentence under the fields."""
        self.answered = text
        self.query_one("#why", Static).update(look_on(self.app).drawn(text))

    def hint(self, text: str) -> None:
        """What belongs in a field, whole, where there is no room beside it."""
        self.query_one("#why", Static).update(look_on(self.app).drawn(text))

    said = answer

    def row_of(self, name: str) -> FieldRow:
        """The row of a field."""
        return next(row for row in self.query(FieldRow) if row.field.name == name)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Show where one is."""
        for row in self.query(FieldRow):
            here = event.widget in row.walk_children()
            if here or row.has_class("here"):
                row.draw(here=here)
            if here and not self.answered:
                self.hint(row.beside if row.cut_off() or row.field.choices else "")

    def hinted_as(self) -> str:
        """Where no field lists values, there is nothing to choose."""
        return self.subject if self.query(Choice) else "fields"

    def hints(self) -> None:
        """Draw the rule and the keys."""
        from ticket.grid.rows import Row, Span
        from ticket.grid.signs import RULE

        self.query_one("#rule", Page).show([Row((Span(RULE * self.size.width, "rule"),))])
        super().hints()

    # -- keeping what is half typed --------------------------------------------------------------------------------

    def keep_line(self) -> None:
        """Keep what was typed and not saved; nothing where nothing was."""
        kept = self.kept_as()
        if kept is None or not hasattr(self, "first"):
            return
        now = {name: text for name, text in self.values().items() if text != self.first.get(name)}
        kept[0].keep(kept[1], json.dumps(now) if now else "")

    def saved(self) -> None:
        """What was typed is written: nothing of it is half."""
        self.first = self.values()

    # -- keys ------------------------------------------------------------------------------------------------------

    def action_next(self) -> None:
        """Go to the next field; behind the last one say which key saves."""
        fields = self.controls()
        at = next((i for i, field in enumerate(fields) if field is self.focused), -1)
        if at + 1 < len(fields):
            self.set_focus(fields[at + 1])
        else:
            self.answer(f"That was the last field. {self.keys_told()}")

    def keys_told(self) -> str:
        """Which key saves and which leaves, as a sentence."""
        return f"{key_for('save')} saves, {key_for('back')} goes back; what is typed is kept."

    def action_mark(self) -> None:
        """Choose the next value, where values are listed."""
        if isinstance(self.focused, Choice):
            self.focused.put(self.focused.values[(self.focused.at + 1) % len(self.focused.values)][0])

    def action_afresh(self) -> None:
        """Throw away what was typed and not saved."""
        for name, text in self.first.items():
            self.control(name).put(text)
        self.answer("The fields are as they stood.")

    def action_back(self) -> None:
        """One step back; what was typed is kept and offered again."""
        self.keep_line()
        self.dismiss()

    def action_page_up(self) -> None:
        """A screenful of fields up."""
        self.query_one("#fields", VerticalScroll).scroll_page_up(animate=False)

    def action_page_down(self) -> None:
        """A screenful of fields down."""
        self.query_one("#fields", VerticalScroll).scroll_page_down(animate=False)

    def action_first(self) -> None:
        """To the first field."""
        self._step(-len(self.controls()))

    def action_last(self) -> None:
        """To the last field."""
        self._step(len(self.controls()))

    def action_up(self) -> None:
        """The field before."""
        self._step(-1)

    def action_down(self) -> None:
        """The field behind."""
        self._step(1)

    def _step(self, step: int) -> None:
        fields = self.controls()
        at = next((i for i, field in enumerate(fields) if field is self.focused), 0)
        if fields:
            self.set_focus(fields[max(0, min(len(fields) - 1, at + step))])

    @on(Input.Changed)
    def _typed_into(self, event: Input.Changed) -> None:
        """Who comes back to a field goes on typing; only what the program put there is typed over."""
        if event.input is self.focused:
            event.input.select_on_focus = False

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()


def _read(text: str) -> dict[str, str]:
    try:
        found = json.loads(text) if text else {}
    except ValueError:
        return {}
    return {name: value for name, value in found.items() if isinstance(value, str)} if isinstance(found, dict) else {}
