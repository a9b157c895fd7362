"""Exact amounts, price lists, tax and split payers."""
