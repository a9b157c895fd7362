"""The fields above the entries: one order and one name each for forms, flags and papers; no imports, for speed."""

from typing import NamedTuple


class HeaderField(NamedTuple):
    """One field of a header.

    Attributes:
        title: what people call it; a flag is the same with dashes.
        metavar: sort of value, for the help of a flag.
        help: what belongs in it, for the help of a flag and beside the empty field.
        group: the heading it stands under on a form.
        width: cells of the field, so that its width tells what belongs in it.
    """

    title: str
    metavar: str
    help: str
    group: str
    width: int = 30

    @property
    def flag(self) -> str:
        """As an option of a command: ``vehicle number`` is ``--vehicle-number``."""
        return f"--{self.title.replace(' ', '-')}"


HEADER_FIELDS = {
    "plate": HeaderField("plate", "TEXT", "registration plate", "Vehicle", 10),
    "vehicle": HeaderField("vehicle", "TEXT", "such as 2019 Corvane Alder", "Vehicle"),
    "vin": HeaderField("vehicle number", "VIN", "VIN: 17 signs, checks itself", "Vehicle", 17),
    "odometer": HeaderField("odometer in", "READING", "at arrival, such as '100214 mi'", "Vehicle", 11),
    "odometer-out": HeaderField("odometer out", "READING", "at return, such as '100226 mi'", "Vehicle", 11),
    "odometer-reason": HeaderField(
        "odometer reason", "WORDS", "replaced instrument, rolled over or not actual", "Vehicle"
    ),
    "customer": HeaderField("customer", "NAME", "whose vehicle it is", "Customer"),
    "phone": HeaderField("phone", "NUMBER", "customer's phone", "Customer", 16),
    "email": HeaderField("e-mail", "ADDRESS", "customer's e-mail", "Customer"),
    "address": HeaderField("address", "TEXT", "customer's postal address", "Customer"),
    "sums-told": HeaderField("sums told", "WORDS", "prices are told with tax, or before it", "Customer", 20),
    "ready-by": HeaderField("ready by", "TEXT", "promised, such as 'Friday noon'", "Promise", 20),
    "pays": HeaderField("pays", "PAYER", "who pays, where a line names nobody", "Promise", 20),
    "discount": HeaderField("discount", "TEXT", "20.00, or 10 % of labour; why", "Who pays"),
    "tax-place": HeaderField("tax place", "NAME", "as the price list names it", "Who pays", 20),
    "warranty": HeaderField("warranty", "TEXT", "Oakline Cover; deductible 50", "Who pays"),
    "contract": HeaderField("contract", "TEXT", "written as for warranty", "Who pays"),
}
"""By the name that plain ticket files have always used; the order is that of the forms."""

CORRECTABLE = tuple(
    name for name, field in HEADER_FIELDS.items() if field.group in ("Vehicle", "Customer") and name != "sums-told"
)
"""What may be corrected once the ticket is signed: whose vehicle it is, what its odometer said; no sum, no promise."""
