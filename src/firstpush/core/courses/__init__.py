"""Cone courses and push lanes: laid out for a chair, checked by the floor it sweeps, timed between two edges.

In order of use: `outline_of` a chair; `lay_out` a layout, or `course_from` one's own; `fit` or `put_on` a floor;
`bracket_of`, `turning_of`, `time_use`, `pushes_of`, `set_out`, `cues_of`.  For the athlete `fit_sprint`,
`timed_circle` and `athlete_speed`; for next time `compare` and `step_course`.
"""

from firstpush.core.courses.bracket import Bracket, Comparison, bracket_of, compare
from firstpush.core.courses.chair_outline import ChairOutline, covering, outline_of, widest
from firstpush.core.courses.clearance import Extent, Poses, cone_clearances, corners_swept
from firstpush.core.courses.course import CONE_RADIUS, MARGIN, Cone, Course, CourseError, Leg, Pass, Place
from firstpush.core.courses.cues import Cue, cues_of, sound
from firstpush.core.courses.floor import (
    Area,
    Court,
    OnFloor,
    areas_on,
    court_area,
    court_of,
    courts,
    fit,
    floor_area,
    free_run_out,
    put_on,
)
from firstpush.core.courses.harder import Step, step_course
from firstpush.core.courses.lanes import LADDER, LaneTime, distance_at, lane_course, lane_times, time_to
from firstpush.core.courses.layouts import LAYOUTS, Layout, lay_out, layout_named, least_by_geometry
from firstpush.core.courses.limits import Limits
from firstpush.core.courses.line import Line, Roll, Stand, Turn, line_over, poses_at
from firstpush.core.courses.own import course_from, course_from_text
from firstpush.core.courses.set_out import SetOut, set_out
from firstpush.core.courses.spacing import LeastSpacing, Need, is_clear, least_spacing, squad_spacing
from firstpush.core.courses.speed import AthleteSpeed, CircleTest, athlete_speed, backward_share, timed_circle
from firstpush.core.courses.sprint import Ranged, Split, SprintFit, fit_sprint, splits_from_text
from firstpush.core.courses.technique import PushFact, clock_words, facts_at
from firstpush.core.courses.turning import Passage, Pushes, TimeUse, Turning, pushes_of, time_use, turning_of
from firstpush.core.courses.way import TooCloseError
from firstpush.core.courses.ways import Candidate, candidates

__all__ = [
    "CONE_RADIUS",
    "LADDER",
    "LAYOUTS",
    "MARGIN",
    "Area",
    "AthleteSpeed",
    "Bracket",
    "Candidate",
    "ChairOutline",
    "CircleTest",
    "Comparison",
    "Cone",
    "Course",
    "CourseError",
    "Court",
    "Cue",
    "Extent",
    "LaneTime",
    "Layout",
    "LeastSpacing",
    "Leg",
    "Limits",
    "Line",
    "Need",
    "OnFloor",
    "Pass",
    "Passage",
    "Place",
    "Poses",
    "PushFact",
    "Pushes",
    "Ranged",
    "Roll",
    "SetOut",
    "Split",
    "SprintFit",
    "Stand",
    "Step",
    "TimeUse",
    "TooCloseError",
    "Turn",
    "Turning",
    "areas_on",
    "athlete_speed",
    "backward_share",
    "bracket_of",
    "candidates",
    "clock_words",
    "compare",
    "cone_clearances",
    "corners_swept",
    "course_from",
    "course_from_text",
    "court_area",
    "court_of",
    "courts",
    "covering",
    "cues_of",
    "distance_at",
    "facts_at",
    "fit",
    "fit_sprint",
    "floor_area",
    "free_run_out",
    "is_clear",
    "lane_course",
    "lane_times",
    "lay_out",
    "layout_named",
    "least_by_geometry",
    "least_spacing",
    "line_over",
    "outline_of",
    "poses_at",
    "pushes_of",
    "put_on",
    "set_out",
    "sound",
    "splits_from_text",
    "squad_spacing",
    "step_course",
    "time_to",
    "time_use",
    "timed_circle",
    "turning_of",
    "widest",
]
