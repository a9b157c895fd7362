"""The fields above the entries, by the name that flags, forms and plain ticket files share; no imports, for speed."""

# name: (sort of value, words for flag help and form), in the order of the forms: first what a new ticket begins with
HEADER_FIELDS = {
    "plate": ("TEXT", "registration plate"),
    "vin": ("VIN", "vehicle identification number"),
    "vehicle": ("TEXT", "what people call it, such as '2019 Corvane Alder 2.0 diesel'"),
    "customer": ("NAME", "whose vehicle it is"),
    "phone": ("NUMBER", "customer's phone"),
    "odometer": ("READING", "reading at arrival with its unit, such as '100214 mi'"),
    "ready-by": ("TEXT", "what was promised, such as 'Friday noon'"),
    "odometer-out": ("READING", "reading at return with its unit"),
    "odometer-reason": ("WORDS", "why a reading may be lower: 'replaced instrument', 'rolled over', 'not actual'"),
    "email": ("ADDRESS", "customer's email"),
    "address": ("TEXT", "customer's postal address"),
    "discount": ("TEXT", "taken off: '10 % of labour; regular customer' or '20.00'"),
    "tax-place": ("NAME", "where the tax is owed, by its name in the price list"),
    "warranty": ("TEXT", "who pays: 'Oakline Cover; deductible 50; approval 7731'"),
    "contract": ("TEXT", "who pays contract lines, written as for warranty"),
}
