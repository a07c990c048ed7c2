"""Units of work: one transaction's view of the store, and the store that runs them."""

from core.application.ports import Observer, Store
from core.storage.addresses import StoredAddresses
from core.storage.check_ins import StoredAdvice, StoredCheckIns
from core.storage.due import StoredDue, StoredReminders
from core.storage.estimates import StoredEstimates, StoredRecords
from core.storage.foresight import Foresight
from core.storage.inbox import StoredInbox
from core.storage.lifters import StoredLifters
from core.storage.link_codes import StoredLinkCodes
from core.storage.locations import InMemory, OnDisk, OnServer, location_of
from core.storage.outbox import StoredOutbox
from core.storage.own_exercises import StoredExercises
from core.storage.plans import StoredPlans, StoredSetups
from core.storage.questions import StoredQuestions
from core.storage.sessions import StoredSessions
from core.storage.sets import StoredSets
from core.storage.statements import Link
from core.storage.traces import Traces


class OpenUnit:
    """A unit of work over an open connection; whoever opened it begins and ends its transactions.

    Args:
        link: The connection.
        writes: Work in it may write: rows that are read to be changed are locked, where the engine locks rows.
        foresight: Asks ahead, where each answer is waited for.

    """

    def __init__(self, link: Link, *, writes: bool, foresight: Foresight | None = None) -> None:
        self.traces = Traces()
        self.lifters = StoredLifters(link, locks=writes, traces=self.traces, foresight=foresight)
        self.sessions = StoredSessions(link, foreseen=None if foresight is None else foresight.of_session)
        self.sets = StoredSets(link, traces=self.traces)
        self.exercises = StoredExercises(link)
        self.estimates = StoredEstimates(link)
        self.records = StoredRecords(link)
        self.setups = StoredSetups(link)
        self.plans = StoredPlans(link)
        self.check_ins = StoredCheckIns(link)
        self.advice = StoredAdvice(link)
        self.questions = StoredQuestions(link)
        self.inbox = StoredInbox(link, locks=writes, traces=self.traces, foresight=foresight)
        self.outbox = StoredOutbox(link, traces=self.traces)
        self.due = StoredDue(link, locks=writes, traces=self.traces)
        self.reminders = StoredReminders(link)
        self.addresses = StoredAddresses(link, traces=self.traces)
        self.link_codes = StoredLinkCodes(link)


def open_store(url: str, *, observer: Observer | None = None) -> Store:
    """Open the store at a URL.

    A SQLite database is made or brought to the newest revision first, after a copy of an older one beside it.
    A PostgreSQL database must be there already: `rackside migrate` sees to it, once for all processes.

    Args:
        url: `sqlite:///path`, `sqlite://` (in memory), `postgresql://...` or `postgresql+psycopg://...`.
        observer: Told "before commit", "after commit", and "received" once new events are committed; on PostgreSQL by
            several threads. It must not raise.

    Raises:
        ValueError: The URL names no engine that the store runs on.
        SchemaError: The tables are not those of this program, or PostgreSQL's are of another revision.

    """
    location = location_of(url)
    told = _unobserved if observer is None else observer
    match location:
        case InMemory() | OnDisk():
            from core.storage.sqlite_store import SqliteStore

            return SqliteStore(location, observer=told)
        case OnServer():
            from core.storage.postgres_store import PostgresStore

            return PostgresStore(location, observer=told)


def _unobserved(_point: str) -> None:
    return None
