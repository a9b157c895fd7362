"""Stories in other languages than English: the same facts, realised from a catalogue and a file of terms."""
