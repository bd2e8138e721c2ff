"""Claims, instruments, readings, trials; comparisons of prediction with reading; verdicts.

This room knows what was printed, what was read and what both are worth. It knows nothing of pages and files.

"±" in every text is the expanded uncertainty, k = 2.
"""

from lidoff.evidence.cautions import CAUTIONS
from lidoff.evidence.claim import (
    SENSES,
    Claim,
    ClaimKind,
    FromReading,
    FromSolution,
    FromStatement,
    Role,
    Sense,
    Source,
    Way,
    all_claim_kinds,
    claim_kind_of,
)
from lidoff.evidence.comparison import AGREES_TO, STRAINED_TO, Comparison, Fit, Uncompared, compare
from lidoff.evidence.finding import SEVERITIES, Finding, Severity, Trial
from lidoff.evidence.instrument import MEASURES, Instrument, Range, usual_measure
from lidoff.evidence.judge import ClaimResult, Share, judge
from lidoff.evidence.reading import (
    AcrossPart,
    InPart,
    IntoPin,
    Measured,
    NamedQuantity,
    NetVoltage,
    Reading,
    Target,
    measure,
    read_text,
)
from lidoff.evidence.verdict import (
    BORNE_OUT_FROM,
    NOT_BORNE_OUT_TO,
    BorneOut,
    CannotTell,
    NotBorneOut,
    Verdict,
    verdict_from,
)

__all__ = [
    "AGREES_TO",
    "BORNE_OUT_FROM",
    "CAUTIONS",
    "MEASURES",
    "NOT_BORNE_OUT_TO",
    "SENSES",
    "SEVERITIES",
    "STRAINED_TO",
    "AcrossPart",
    "BorneOut",
    "CannotTell",
    "Claim",
    "ClaimKind",
    "ClaimResult",
    "Comparison",
    "Finding",
    "Fit",
    "FromReading",
    "FromSolution",
    "FromStatement",
    "InPart",
    "Instrument",
    "IntoPin",
    "Measured",
    "NamedQuantity",
    "NetVoltage",
    "NotBorneOut",
    "Range",
    "Reading",
    "Role",
    "Sense",
    "Severity",
    "Share",
    "Source",
    "Target",
    "Trial",
    "Uncompared",
    "Verdict",
    "Way",
    "all_claim_kinds",
    "claim_kind_of",
    "compare",
    "judge",
    "measure",
    "read_text",
    "usual_measure",
    "verdict_from",
]
