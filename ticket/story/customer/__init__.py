"""The customer's story, section by section."""
