"""Help while somebody types: completion, what a line rests on, offers, two people at one thing. Pure."""
