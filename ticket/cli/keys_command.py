"""The keys of the screens from the shell: where their file is, and what each action answers to now."""

import argparse

from ticket.cli.output import remark, say, say_json
from ticket.machine.environment import keys_file
from ticket.screens.actions import shown_key
from ticket.screens.keys import former_block, lines, load_keys


def keys(options: argparse.Namespace) -> int:
    """Print the file's place and the keys; 1 where a line of the file cannot be used."""
    if options.value == ["former"]:
        say(former_block())
        return 0
    file = keys_file()
    changes = load_keys(file)
    actions = list(lines(changes.keys))
    if options.json:
        say_json(
            {
                "file": str(file),
                "actions": [
                    {"id": name, "keys": list(now), "changed": changed, "help": text}
                    for name, now, changed, text in actions
                ],
                "refused": list(changes.refused),
            }
        )
    else:
        say(f"{file}{'' if file.exists() else ' (not there yet)'}")
        say('A line changes an action: story = ["ctrl+t", "f4"]; ticket shop keys former prints those of before.\n')
        for name, now, changed, text in actions:
            shown = ", ".join(shown_key(key) for key in now) + (" (changed)" if changed else "")
            say(f"{name:<14} {shown:<24} {text}")
    for sentence in changes.refused:
        remark(sentence)
    return 1 if changes.refused else 0
