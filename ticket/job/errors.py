"""Errors that carry one sentence a person can act on. The edges print them; nothing below prints."""


class TicketError(Exception):
    """Base of every expected failure. ``str(error)`` is the sentence to show; exit code 2."""

    exit_code = 2


class InputError(TicketError):
    """What was typed, passed or loaded cannot be used."""


class UsageError(InputError):
    """The command line itself cannot be used; the sentence begins with the command."""


class DataError(InputError):
    """A document breaks its schema.

    Args:
        path: where in the document, as ``entries/3/fact/unit``; empty for the document itself.
        reason: what is wrong there, without a final stop.
    """

    def __init__(self, path: str, reason: str) -> None:
        super().__init__(f"at {path}: {reason}" if path else reason)
        self.path = path
        self.reason = reason


class PinNeededError(TicketError):
    """A person's PIN must be known first; nothing was done.

    Args:
        person: whose PIN.
        what: what it is asked for, as the beginning of a sentence: ``Signing``.
    """

    def __init__(self, person: str, what: str) -> None:
        super().__init__(f"{what} needs {person}'s PIN: run it in a terminal, or use --pin-fd.")
        self.person = person
        self.what = what


class NotFoundError(TicketError):
    """A ticket or an entry with that number does not exist."""


class ConflictError(TicketError):
    """Something changed since the caller last looked; nothing was written."""


class SealedError(TicketError):
    """The ticket is signed: only an amendment may add to it."""


class StoreError(TicketError):
    """The database cannot be opened, read or written."""


class DamagedError(StoreError):
    """One ticket's rows cannot be read; all others can.

    Args:
        number: of the ticket.
        why: what is wrong with its rows, without a final stop.
    """

    def __init__(self, number: int, why: str) -> None:
        super().__init__(
            f"ticket {number} cannot be read ({why}); all others can. Run ticket audit, and look for it in a backup"
        )
        self.number = number


class NoShopError(StoreError):
    """There is no shop where one was looked for, and nothing was made.

    Args:
        path: the database file that is not there, or is empty.
        named: how the command that makes one names the path, where it has to.
    """

    def __init__(self, path: object, named: str = "") -> None:
        super().__init__(f"There is no shop at {path}. Make one: ticket shop --start{named}")
        self.path = path


def extra_words(name: str) -> str:
    """What is not installed, and how it is: the end of a sentence such as "Pages are served by ..."."""
    return f"the extra {name}, which is not here: pip install '.[{name}]' in a clone, else 'job-ticket[{name}]'."
