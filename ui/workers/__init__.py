"""Work that runs elsewhere, so that the window never stands still."""

from .process import BrokenWork, Shelf, Ticket, WorkerProcess, put
from .threads import Job, end_jobs, start_job

__all__ = ["BrokenWork", "Job", "Shelf", "Ticket", "WorkerProcess", "end_jobs", "put", "start_job"]
