"""Exact amounts, the price list, tax, split payers, and what the customer agreed to. Knows no local rule."""
