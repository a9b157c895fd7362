"""The copies for the customer, the payer and the shop."""
