"""Proposals reckoned in the background as soon as a session's end is at home, so that the page need not wait."""

from __future__ import annotations

import logging
import threading
from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.conf import settings
from django.db import connections

from firstpush.core.errors import FirstpushError
from firstpush.web.after.proposals import NoRunError, behind, proposals
from firstpush.web.athletes.models import AthleteRecord
from firstpush.web.oncourt.models import CourtEntry

log = logging.getLogger(__name__)


def reckon_ahead(rows: Iterable[CourtEntry], **_: Any) -> None:
    """Reckon what is proposed after the runs that ended among `rows`; without a data folder when it is asked for."""
    ended = {(row.athlete_id, row.run) for row in rows if row.kind == "ended"}
    if ended and settings.FOLDER is not None:
        threading.Thread(target=_reckon, args=(sorted(ended),), name="proposals", daemon=True).start()


def _reckon(ended: list[tuple[int, UUID]]) -> None:
    try:
        for athlete_id, run in ended:
            record = AthleteRecord.objects.filter(pk=athlete_id).first()
            if record is not None:
                proposals(behind(record, run))
    except (FirstpushError, NoRunError) as error:
        # The page says it when it is opened.
        log.info("no proposals yet: %s", error)
    except Exception:
        log.exception("proposals could not be reckoned ahead")
    finally:
        connections.close_all()
