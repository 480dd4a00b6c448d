"""The knowledge base: reading, checking, inheritance, names, snapshot."""

from .base import KnowledgeBase, KnowledgeError
from .claims import LEVELS, BandClaim, Claim, Cue, End, Level, Origin, Outcome, RangeClaim, SourceRef, ValueClaim
from .names import Entry, Match, NameProblem
from .problems import Problem, Problems
from .profiles import STAGES, Profile, Rest, Way

__all__ = [
    "LEVELS",
    "STAGES",
    "BandClaim",
    "Claim",
    "Cue",
    "End",
    "Entry",
    "KnowledgeBase",
    "KnowledgeError",
    "Level",
    "Match",
    "NameProblem",
    "Origin",
    "Outcome",
    "Problem",
    "Problems",
    "Profile",
    "RangeClaim",
    "Rest",
    "SourceRef",
    "ValueClaim",
    "Way",
]
