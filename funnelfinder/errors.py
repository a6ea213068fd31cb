"""Every error that the program tells a person.

FunnelFinderError
|-- InputError (ValueError)
|   |-- GridError
|   |-- MarkError
|   |-- SettingError
|   |-- PropertyFileError (OSError)
|   `-- RecordError
|-- NoWayError (ValueError)
|-- DetectorError (RuntimeError)
|-- ExportError (OSError)
|-- SourceError (OSError)
`-- Stopped (RuntimeError)

Each says what happened, where (a file or a named thing) and what to do about it. Foreign
exceptions are caught where they arise and raised on ``from`` them, so that the command line and
the window can show the same words.
"""

from __future__ import annotations


class FunnelFinderError(Exception):
    """Something that a person can be told and can mend.

    Parameters
    ----------
    what : str
        What happened, a whole sentence without the place.
    where : str
        The file, mark or setting concerned; empty when there is none.
    remedy : str
        What to do about it, a whole sentence; empty when nothing can be done.

    Examples
    --------
    >>> str(FunnelFinderError("It stops halfway.", where="north.tif", remedy="Copy it again."))
    'north.tif: It stops halfway. Copy it again.'
    """

    def __init__(self, what: str, *, where: str = "", remedy: str = "") -> None:
        self.what = what
        self.where = where
        self.remedy = remedy
        place = f"{where}: " if where else ""
        super().__init__(f"{place}{what} {remedy}".strip())


class InputError(FunnelFinderError, ValueError):
    """What a person gave cannot be used."""


class GridError(InputError):
    """An elevation or land-cover grid cannot be used."""


class MarkError(InputError):
    """A boundary or mark cannot be used."""


class SettingError(InputError):
    """A setting or cover table cannot be used."""


class PropertyFileError(InputError, OSError):
    """A property file cannot be read or written."""


class RecordError(InputError):
    """A camera record, log entry or forecast cannot be used."""


class NoWayError(FunnelFinderError, ValueError):
    """A bed has no way to any food."""


class DetectorError(FunnelFinderError, RuntimeError):
    """A detector could not be loaded or failed while it ran."""


class ExportError(FunnelFinderError, OSError):
    """Points or pictures could not be written."""


class SourceError(FunnelFinderError, OSError):
    """A public source could not be asked, or what it gave cannot be used."""


class Stopped(FunnelFinderError, RuntimeError):  # noqa: N818 - a wish, not an error
    """A person stopped long work; everything is as before."""
