"""Shop settings: one list, one line to type in, each value checked as it is typed and journaled when it is kept."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from ticket.grid.rows import Row, Span, cut
from ticket.job.errors import PinNeededError, TicketError
from ticket.job.text import one_line
from ticket.machine.environment import keys_file, remember_look
from ticket.screens.bare_ground import Band
from ticket.screens.frame import Frame, Reading, bindings, strip
from ticket.screens.keys import load_keys
from ticket.screens.page import Page
from ticket.screens.pin_line import ask_pin, set_pin_on
from ticket.screens.prompt import Prompt
from ticket.screens.settings_rows import COLOURS, DRAWN, LOOKS, compare_rows, default_note, look_items, settings_rows
from ticket.shop import money as billing
from ticket.shop import settings as setting_up
from ticket.shop.opening import Shop
from ticket.shop.settings import PIN_OF, Item


class SettingsScreen(Frame):
    """Everything a shop may set.

    Args:
        shop: the open shop.
    """

    subject: ClassVar[str] = "settings"
    AUTO_FOCUS: ClassVar[str | None] = ""
    BINDINGS = bindings("settings")
    DEFAULT_CSS = """
    SettingsScreen #mark { width: auto; text-style: bold; padding: 0 1; }
    SettingsScreen #typing { display: none; }
    SettingsScreen #why { display: none; height: auto; max-height: 5; padding: 0 1; }
    SettingsScreen.typing #typing, SettingsScreen.typing #why { display: block; }
    """

    def __init__(self, shop: Shop) -> None:
        super().__init__()
        self.shop = shop
        self.items: tuple[Item, ...] = ()
        self.changing: Item | None = None

    def compose(self) -> ComposeResult:
        """Top line, list, what is wrong with the line, line to type in, hints."""
        yield strip("top")
        yield Page(id="page")
        yield Static("", id="why", markup=False)
        with Band(classes="line", id="typing"):
            yield Static("", markup=False, id="mark")
            yield Prompt(id="prompt")
        yield strip("hints")

    def on_mount(self) -> None:
        """The pointer stands on the first item."""
        self.query_one(Prompt).listener = self._typed
        self.draw()
        self.action_down()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from the comparison."""
        self.draw()

    def changed_elsewhere(self) -> None:
        """Another terminal changed something; the line being typed stays."""
        self.draw()

    def draw(self) -> None:
        """Read everything again and draw it; the pointer stays."""
        self.items = (*setting_up.items(self.shop), *look_items())
        changes = load_keys(keys_file())
        extra = [one_line(f"Keys: {len(changes.keys)} changed in {keys_file()}; ticket shop keys lists them.")]
        extra += [note for note in (default_note(self.shop.settings), *changes.refused) if note]
        rows = settings_rows(self.items, setting_up.changes(self.shop), extra, max(self.size.width - 4, 20))
        self.page().show(rows)
        name = self.shop.settings.shop or "the shop"
        self.top([Span("Settings", "strong"), Span(f"  {name}"), Span("  Enter changes what is pointed at", "quiet")])
        self.hints()

    # -- typing ------------------------------------------------------------------------------------------------

    def action_change(self) -> None:
        """Put the value under the pointer into the line."""
        self.changing = next((item for item in self.items if item.key == self.page().key), None)
        if self.changing is None:
            self.desk.say("Move the pointer to something first, with ↑ and ↓.")
            return
        if self.changing.key.startswith(PIN_OF):
            name, self.changing = self.changing.key.removeprefix(PIN_OF), None
            set_pin_on(self, self.shop, name, self.desk, self.draw)
            return
        if self.changing.key in LOOKS:
            item, self.changing = self.changing, None
            self._look(item)
            return
        prompt = self.query_one(Prompt)
        self.add_class("typing")
        self.query_one("#mark", Static).update(cut(f"{self.changing.title}:", max(self.size.width // 3, 8)))
        prompt.value = self.changing.value
        prompt.cursor_position = len(prompt.value)
        prompt.focus()
        self._typed()

    def _look(self, item: Item) -> None:
        """The next of the few looks there are, seen at once."""
        values = LOOKS[item.key]
        worn = {one.key: one.value for one in look_items()}
        worn[item.key] = values[(values.index(item.value) + 1) % len(values)]
        try:
            remember_look(worn[COLOURS], worn[DRAWN])
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.wear(worn[COLOURS], worn[DRAWN])
        self.draw()

    def _typed(self) -> None:
        item = self.changing
        if item is None:
            return
        typed = self.query_one(Prompt).value
        same = typed.strip() == item.value or not typed.strip()
        flaw = "" if same else setting_up.flaw(self.shop, item.key, typed)
        self.query_one("#why", Static).update(one_line(flaw or f"{item.hint}. Enter keeps it, Esc leaves it."))

    @on(Prompt.Asked)
    def _asked(self) -> None:
        self.desk.action_help()

    @on(Input.Submitted)
    def _keep(self) -> None:
        item, typed = self.changing, self.query_one(Prompt).value
        if item is None:
            return
        try:
            if typed.strip() != item.value or not item.value:
                setting_up.put(self.shop, item.key, typed)
        except PinNeededError as needed:
            ask_pin(self, self.shop, needed, self._keep)
            return
        except TicketError as error:
            self.query_one("#why", Static).update(one_line(str(error)))
            return
        self._leave_line()
        self.draw()

    def _leave_line(self) -> None:
        self.changing = None
        self.remove_class("typing")
        self.query_one(Prompt).value = ""
        self.set_focus(None)

    def action_back(self) -> None:
        """Leave the line as it was, or go back to the jobs."""
        if self.changing is not None:
            self._leave_line()
        else:
            self.dismiss()

    def action_up(self) -> None:
        """The item before; not while a line is typed."""
        if self.changing is None:
            super().action_up()

    def action_down(self) -> None:
        """The next item; not while a line is typed."""
        if self.changing is None:
            super().action_down()

    def action_compare(self) -> None:
        """The local rules side by side."""
        self.app.push_screen(CompareScreen(self.shop))


class CompareScreen(Reading):
    """All local rules at hand, held against one estimate."""

    subject: ClassVar[str] = "reading"
    BINDINGS = bindings("reading")

    def __init__(self, shop: Shop, estimate: str = "400.00") -> None:
        super().__init__()
        self.shop = shop
        self.estimate = estimate

    def on_resize(self) -> None:
        """Draw for the new width."""
        packs = [billing.find_pack(self.shop, identity) for identity in billing.packs(self.shop)]
        rows = compare_rows(packs, self.shop.settings.rules, self.estimate, max(self.size.width - 4, 20))
        self.page().show([Row((Span(" "), *one.spans)) for one in rows])
        self.top([Span("Local rules side by side", "strong"), Span("  the strictest first", "quiet")])
        self.hints()
