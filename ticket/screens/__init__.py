"""The Textual screens; widgets hold no rules of the trade."""
