"""What ``GET /metrics`` tells, in the Prometheus text format: measured where it happens, in real seconds."""

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest
from prometheus_client.exposition import CONTENT_TYPE_LATEST

CONTENT_TYPE = CONTENT_TYPE_LATEST

LATE_S = (0.02, 0.05, 0.1, 0.25, 0.5, 1, 2, 5, 15, 60)
ACK_S = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.5, 2)
PLAN_S = (0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10, 30)
SPREAD_S = (0, 5, 10, 20, 30, 60, 90, 120, 180, 300)
TAP_S = (0, 2, 5, 10, 20, 30, 60, 120, 300)


class Metrics:
    """The figures of one running server."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        of = self.registry
        self.cue_late = Histogram(
            "kitchen_timer_cue_late_seconds",
            "From when a cue could first be given (its heads-up, or the plan that put it there) until it was sent",
            ["station"],
            buckets=LATE_S,
            registry=of,
        )
        self.start_late = Histogram(
            "kitchen_timer_start_late_seconds",
            "Kitchen seconds from the second a station was told to start until it started",
            ["station"],
            buckets=TAP_S,
            registry=of,
        )
        self.replan = Histogram(
            "kitchen_timer_replan_seconds",
            "From a change until its first plan was taken over (stage first), and until the search was over (done)",
            ["stage"],
            buckets=PLAN_S,
            registry=of,
        )
        self.spread = Histogram(
            "kitchen_timer_landing_spread_seconds",
            "Of each course that was sent: from its first component ready to its last",
            buckets=SPREAD_S,
            registry=of,
        )
        self.landed_late = Histogram(
            "kitchen_timer_landing_late_seconds",
            "Of each course that was sent: landing after its target",
            buckets=SPREAD_S,
            registry=of,
        )
        self.commands = Counter(
            "kitchen_timer_commands", "Commands by kind and what became of them", ["kind", "outcome"], registry=of
        )
        self.unread = Counter(
            "kitchen_timer_bad_messages", "Messages refused because a field of them was wrong", ["code"], registry=of
        )
        self.ack = Histogram(
            "kitchen_timer_command_seconds",
            "From a command coming in until it was on the disk",
            buckets=ACK_S,
            registry=of,
        )
        self.events = Gauge("kitchen_timer_events", "Number of the last event in the log", registry=of)
        self.phones = Gauge("kitchen_timer_phones", "Phones in touch", ["station"], registry=of)
        self.queue = Gauge(
            "kitchen_timer_notes_waiting", "What happened and is not yet logged and counted", registry=of
        )
        self.unplanned = Gauge(
            "kitchen_timer_plan_waited_seconds",
            "How long a first plan has been waited for; 0 when none is",
            registry=of,
        )
        self.troubles = Gauge("kitchen_timer_troubles", "Troubles of the tool itself that stand", registry=of)
        self.restarts = Counter(
            "kitchen_timer_planner_restarts", "Times that the planner was started again", registry=of
        )
        self.clock_set = Gauge(
            "kitchen_timer_clock_set_seconds", "By how much the machine's clock was set", registry=of
        )

    def text(self) -> bytes:
        """All of it as it stands."""
        return generate_latest(self.registry)
