"""What the application refuses on purpose, beside the errors of core.

FirstpushError
└── WebError                   the folder, the address or a backup does not do; says what would
    └── ChangedMeanwhileError  somebody else has changed it since it was opened
"""

from __future__ import annotations

from firstpush.core.errors import FirstpushError


class WebError(FirstpushError):
    """The folder, the address or a backup does not do; the message says what would."""


class ChangedMeanwhileError(WebError):
    """A record was changed by somebody else since it was opened; nothing was written."""
