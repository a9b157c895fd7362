"""What a ticket is: header, entries, vehicle, quantities. Pure; imports nothing of the project."""
