"""Both ways round: which one is due, so that neither side turns more over the weeks."""

from __future__ import annotations

from firstpush.core.errors import OutOfRangeError


def balance_words(*, this_way: int, other_way: int) -> str:
    """Return how often a course was done each way round, and which way is due.

    Parameters
    ----------
    this_way, other_way : int
        Runs of one athlete on the same course as it is laid, and mirrored.

    Raises
    ------
    OutOfRangeError
        For a count below 0.

    Examples
    --------
    >>> balance_words(this_way=3, other_way=1)
    'Runs kept: 3 this way round, 1 the other: 2 the other way round are due.'
    """
    if min(this_way, other_way) < 0:
        raise OutOfRangeError(
            f"{min(this_way, other_way)} runs cannot have been done; allowed is 0 or more; count the runs each way."
        )
    counted = f"Runs kept: {this_way} this way round, {other_way} the other"
    due = this_way - other_way
    if due == 0:
        return f"{counted}: even."
    way = "the other way round" if due > 0 else "this way round"
    return f"{counted}: {abs(due)} {way} {'is' if abs(due) == 1 else 'are'} due."
