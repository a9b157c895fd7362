"""A paper as one HTML page that needs nothing else: no script, no font, no address; pictures are in it."""

from base64 import b64encode
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from hashlib import sha256
from itertools import count
from pathlib import Path
from typing import assert_never

from ticket.job.regex import Regex
from ticket.papers.markup import Html, css_string, element, joined
from ticket.papers.sheet import (
    Block,
    Facts,
    GroundLine,
    Grounds,
    Heading,
    Items,
    Lead,
    Measured,
    Measures,
    Notice,
    Paragraph,
    Pictures,
    Said,
    Sheet,
    Shown,
    Signatures,
    Table,
    lines_of,
)  # fmt: skip

_SHORT = 8  # rows; a table no longer than that is not broken over printed pages
_UNFIT = Regex(r"[^a-z0-9]+")


def sheet_html(sheet: Sheet) -> str:
    """A whole paper as an HTML document."""
    style = _style(sheet)
    digest = b64encode(sha256(style.encode()).digest()).decode()
    shown = " img-src data:;" if any(isinstance(block, Pictures) for block in sheet.blocks) else ""
    policy = f"default-src 'none';{shown} style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    body = _Body(sheet)
    head = element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=policy),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        *_sealed(sheet),
        element("title", " · ".join(text for text in (sheet.title, sheet.kind) if text)),
        element("style", Html(style)),
    )
    page = element("html", head, element("body", body.header(), body.main()), lang=sheet.language)
    return f"<!DOCTYPE html>\n{page}\n"


def _style(sheet: Sheet) -> str:
    """The style sheet with what depends on the paper: its size and the foot of its printed pages."""
    before, _, rest = sheet.page.partition("{page}")
    between, _, after = rest.partition("{pages}")
    pages = f"{css_string(before)} counter(page) {css_string(between)} counter(pages) {css_string(after)}"
    page = (
        f"@page {{ size: {sheet.size.lower()}; margin: 18mm 18mm 20mm;"
        f" @bottom-left {{ content: {css_string(sheet.foot)}; font: 9pt serif; }}"
        f" @bottom-right {{ content: {pages}; font: 9pt serif; }} }}\n"
    )
    return page + Path(__file__).with_name("copy.css").read_text(encoding="utf-8")


def _sealed(sheet: Sheet) -> tuple[Html, ...]:
    """The record of a sealed paper and the shop it is of, for programs that hold it against a journal."""
    named = (("ticket-record", sheet.record), ("ticket-shop", sheet.shop)) if sheet.record and sheet.shop else ()
    return tuple(element("meta", name=name, content=held) for name, held in named)


def anchor(source: str) -> str:
    """The name under which a link finds what a sentence rests on."""
    return f"e-{_UNFIT.sub('-', source.lower())}"


class _Body:
    """The page while it is written: sentences get their numbers in the order met."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.numbers = count(1)
        self.told_in: defaultdict[str, list[str]] = defaultdict(list)
        self.known = {g.id for block in sheet.blocks if isinstance(block, Grounds) for g in block.grounds}

    def header(self) -> Html:
        """Who hands the paper out, and what it is."""
        sheet = self.sheet
        lines = [element("p", line, class_="name" if i == 0 else None) for i, line in enumerate(sheet.sender)]
        sender = [element("div", *lines, class_="sender")] if lines else []
        kind = [element("p", sheet.kind)] if sheet.kind else []
        return element("header", *sender, element("div", element("h1", sheet.title), *kind, class_="what"))

    def main(self) -> Html:
        """All blocks."""
        return element("main", "", *(joined(Html("\n"), self.block(block)) for block in self.sheet.blocks), Html("\n"))

    def block(self, block: Block) -> Html:
        """One block."""
        match block:
            case Heading(text, level):
                return element(f"h{level + 1}", text)
            case Paragraph(sentences):
                return element("p", self.running(sentences))
            case Lead(text):
                return element("p", text, class_="own-words")
            case Items(items):
                return element("ul", *map(self.list_item, items))
            case Measures(measured):
                return element("table", element("tbody", *map(self.measured, measured)), class_="measured")
            case Facts(pairs):
                return element("dl", *map(_pair, pairs))
            case Table():
                return _table(block)
            case Pictures(several):
                return element("div", *map(self.row_of_pictures, several), class_="pictures")
            case Notice(text):
                return element("p", text, class_="notice")
            case Signatures(names):
                return element("div", *(element("p", name) for name in names), class_="sign")
            case Grounds(title, grounds):
                rows = map(self.ground, grounds)
                return element("details", element("summary", title), element("ul", *rows), open="", class_="grounds")
            case _:
                assert_never(block)

    def running(self, sentences: Sequence[Said]) -> Html:
        """Sentences one after the other."""
        return joined(*map(self.sentence, sentences), mark=" ")

    def list_item(self, item: tuple[Said, ...]) -> Html:
        """One item of a list, in its language where that is another than the page's."""
        return element("li", self.item(item), lang=_language(item))

    def row_of_pictures(self, row: tuple[Shown, ...]) -> Html:
        """Pictures beside each other."""
        return element("div", *map(self.picture, row))

    def item(self, item: tuple[Said, ...]) -> Html:
        """A paragraph of a list, or what it says of itself label by label."""
        lines = lines_of(item)
        if len(lines) == 1:
            return self.running(item)
        plain = [self.running(line) for line in lines if not line[0].label]
        pairs = [
            element("div", element("dt", one.label), element("dd", self.sentence(replace(one, label=""))))
            for one, *_ in lines
            if one.label
        ]
        return joined(*plain, element("dl", *pairs, class_="labelled"), mark=" ")

    def picture(self, one: Shown) -> Html:
        """A picture inside the page, with its caption below; the caption is its alternative text too."""
        source = f"data:image/jpeg;base64,{b64encode(one.content).decode()}"
        image = element("img", src=source, alt=one.alternative)
        return element("figure", image, element("figcaption", self.sentence(one.said)))

    def measured(self, row: Measured) -> Html:
        """One line of what was measured; its name opens the row."""
        name, behind = self.named(row.said)
        cells = (element("td", row.value), element("td", row.verdict, *((" ", behind) if behind else ())))
        return element("tr", element("th", row.name, scope="row", id=name), *cells)

    def sentence(self, item: Said) -> Html:
        """One sentence, with links to what it rests on where the paper shows that."""
        name, behind = self.named(item)
        label = [element("b", item.label), " "] if item.label else []
        text = joined(*label, element("span", item.text, id=name, lang=item.language or None))
        return joined(text, " ", behind) if behind else text

    def named(self, item: Said) -> tuple[str, Html]:
        """The name a sentence is found by, and the links behind it where the paper shows them."""
        name = f"s-{next(self.numbers)}"
        for source in item.sources:
            self.told_in[source].append(name)
        if not self.sheet.numbered or not item.sources:
            return name, Html("")
        links = (element("a", s, href=f"#{anchor(s)}") if s in self.known else s for s in item.sources)
        note = [f"; {item.note}"] if item.note else []
        return name, element("small", "[", joined(*links, mark=", "), *note, "]", class_="from")

    def ground(self, ground: GroundLine) -> Html:
        """What sentences rest on, with the way back to each of them."""
        back = (element("a", name.removeprefix("s-"), href=f"#{name}") for name in self.told_in[ground.id])
        return element(
            "li",
            element("b", f"[{ground.id}]"),
            f" {ground.about} ",
            element("span", ground.text, class_="line"),
            " ",
            element("small", f"{self.sheet.back} ", joined(*back, mark=", "), class_="from"),
            id=anchor(ground.id),
        )


def _language(item: tuple[Said, ...]) -> str | None:
    """The language of a list item where all of it is in another one than the paper; a speaking browser reads it so."""
    held = {one.language for one in item}
    return held.pop() or None if len(held) == 1 else None


def _pair(pair: tuple[str, str]) -> Html:
    return element("div", element("dt", pair[0]), element("dd", pair[1]))


def _table(table: Table) -> Html:
    figures = ["n" if column.figures else None for column in table.columns]
    titles = [column.title for column in table.columns]
    head = element("tr", *(element("th", t, scope="col", class_=c) for t, c in zip(titles, figures, strict=True)))
    rows = (
        element(
            "tr",
            element("th", row[0], scope="row", class_=figures[0]),
            *(
                element("td", cell, class_=kind, data_name=title if cell else None)
                for cell, kind, title in zip(row[1:], figures[1:], titles[1:], strict=True)
            ),
        )
        for row in table.rows
    )
    parts = [element("caption", table.caption), element("thead", head), element("tbody", *rows)]
    if table.totals:
        sums = (
            element(
                "tr",
                element("th", total.name, scope="row", colspan=str(len(titles) - len(total.cells))),
                *(
                    element("td", cell, class_="n", data_name=title if cell and len(total.cells) > 1 else None)
                    for cell, title in zip(total.cells, titles[-len(total.cells) :], strict=True)
                ),
                class_="grand" if total.grand else None,
            )
            for total in table.totals
        )
        parts.append(element("tbody", *sums, class_="sums"))
    return element("table", *parts, class_="short" if len(table.rows) <= _SHORT else None)
