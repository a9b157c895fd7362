"""A ticket whose header was corrected goes into an archive without what stood there: that names somebody too."""

import json
from dataclasses import replace

from support.tickets import ticket_of
from ticket.archive.archive_masking import masked
from ticket.job.ticket import Correction, Customer, Header, Vehicle
from ticket.job.ticket_document import to_document

KEY = b"k" * 32


def test_neither_the_wrong_nor_the_right_name_leaves_the_shop() -> None:
    ticket = ticket_of(
        "says: Mrs. Quorlby hears a squeak\nfound: pad 4 mm, Tolm was told\nnote: plate ZQX 44 was on the key"
    )
    was = Header(Vehicle(plate="ZQX 44"), Customer("Tamsin Quorlby", "555-0101"))
    now = Header(Vehicle(plate="RKM 318"), Customer("Ruza Tolm", "555-0177"))
    one = Correction(was, now, "K. Orlo", ticket.opened, "Quorlby is her sister")
    record, _ = masked(to_document(replace(ticket, header=now, corrections=(one,))), KEY)
    told = json.dumps(record)
    assert [name for name in ("Quorlby", "Tolm", "ZQX 44", "RKM 318", "555-01", "sister") if name in told] == []
    assert "squeak" in told
