"""The searchable list of all actions, fed from the registry."""

from functools import partial

from textual.command import DiscoveryHit, Hit, Hits, Provider

from ticket.screens.actions import Action, actions_of, keys_of, shown_key

_MOVING = ("up", "down", "page_up", "page_down", "actions")


class ActionList(Provider):
    """The actions of the screen on top."""

    def _actions(self) -> list[Action]:
        subject = getattr(self.screen, "subject", "jobs")
        return [action for action in actions_of(subject) if action.id not in _MOVING]

    def _title(self, action: Action) -> str:
        return f"{action.label} ({shown_key(keys_of(action)[0])})"

    async def _run(self, action: Action) -> None:
        await self.screen.run_action(action.id) if hasattr(
            self.screen, f"action_{action.id}"
        ) else await self.app.run_action(action.id)

    async def discover(self) -> Hits:
        """Everything, before anything is typed."""
        for action in self._actions():
            yield DiscoveryHit(self._title(action), partial(self._run, action), help=action.help)

    async def search(self, query: str) -> Hits:
        """What fits the typed letters."""
        matcher = self.matcher(query)
        for action in self._actions():
            score = matcher.match(f"{action.label} {action.help}")
            if score > 0:
                yield Hit(score, self._title(action), partial(self._run, action), help=action.help)
