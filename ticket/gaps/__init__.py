"""What a careful foreman would ask before signing."""
