"""Writes the golden stories anew: ``PYTHONPATH=tests:tests/story python tests/story/write_golden.py``."""

from story_golden import GOLDEN, READERS, golden_text, jobs


def main() -> None:
    """One file for each job and reader that has one."""
    for job in jobs():
        for reader in READERS[job]:
            (GOLDEN / f"{job}.{reader}.txt").write_text(golden_text(job, reader), encoding="utf-8")


if __name__ == "__main__":
    main()
