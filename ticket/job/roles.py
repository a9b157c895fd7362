"""What the people of a shop may be."""

AUDITOR, OWNER = "auditor", "owner"
ROLES = ("technician", "writer", AUDITOR, OWNER)
