"""What an exercise is: poses, aims, needs, dose and cautions, as values.

Written for a working side, mirrored for the other. Lengths in poses are shares of the athlete's own reach
(shoulder centre to grip), so that one definition fits every body.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from firstpush.core.measured import Known, Measured
from firstpush.core.people.athlete import Grip, Side, Strap

Part = Literal["mobility", "strength", "control", "court"]
PARTS: tuple[Part, ...] = ("mobility", "strength", "control", "court")

AIMS = (
    "chest length",
    "shoulder mobility",
    "trunk mobility",
    "neck mobility",
    "scapular retraction",
    "scapular protraction",
    "shoulder extension",
    "shoulder elevation",
    "shoulder adduction",
    "external rotation",
    "internal rotation",
    "anti-rotation",
    "trunk turn",
    "shoulder control",
    "elbow extension",
    "wrist extension",
    "pushing",
    "braking",
    "turning",
    "warm-up",
)

SHOULDER_LOADS = (
    "external rotation",
    "internal rotation",
    "elevation",
    "depression",
    "horizontal adduction",
    "horizontal abduction",
    "flexion",
    "extension",
    "abduction",
    "adduction",
)
SCAPULAR_LOADS = ("retraction", "protraction")
LOADS = (*SHOULDER_LOADS, *SCAPULAR_LOADS, "elbow extension", "elbow flexion", "wrist extension", "trunk turn", "none")
"""Axes an exercise may load: shoulder triples, clavicle, elbow, wrist, trunk; "none" says that no moment is stated."""

Direction = Literal["out", "in", "up", "down", "forward", "back"]
Place = Literal["sternum", "shoulder", "hips", "thigh", "frame", "rim", "other elbow", "stay"]
Attach = Literal["hand", "wrist_cuff", "forearm_cuff", "upper_arm_cuff"]
AnchorSide = Literal["front", "behind", "working side", "other side"]
FixedTo = Literal["post", "chair", "other hand"]
ChairPoint = Literal["backrest", "side rail", "axle", "footplate"]
BodyPart = Literal["trunk", "upper arm", "thigh"]
Contact = Literal["forearm on post", "hands on rail", "ball on wall", "partner"]


@dataclass(frozen=True, kw_only=True)
class HandTarget:
    """Where a hand is held; `forward`, `out`, `up` are shares of reach from `at`, along the thorax.

    "frame" is the side rail beside the seat, "rim" the hand rim at `clock` (0 top, forward positive [rad]),
    "other elbow" the elbow of the other arm (which must be posed by angles or another place),
    "stay" the place in the world where the hand was in the pose before.
    """

    at: Place
    forward: float = 0.0
    out: float = 0.0
    up: float = 0.0
    clock: float = 0.0
    elbow_points: tuple[Direction, ...] = ("out", "down")


@dataclass(frozen=True, kw_only=True)
class ArmPose:
    """One arm in one pose: clinical angles [rad], or a hand target that the arm is solved for.

    `wrist` is extension, towards the back of the hand; a hand target is where the grip would be with it straight.
    """

    plane: float = 0.0
    elevation: float = 0.0
    rotation: float = 0.0
    elbow: float = 0.0
    pronation: float = 0.0
    wrist: float = 0.0
    protraction: float = 0.0
    lift: float = 0.0
    target: HandTarget | None = None


CourseLayout = Literal[
    "half-circle", "half-circle-back", "slalom", "figure-eight", "square", "t", "stop-and-turn", "push-lanes"
]
"""Ids of the layouts of courses, see `firstpush.core.courses`."""


@dataclass(frozen=True, kw_only=True)
class StartLoad:
    """Where the first target comes from when nothing is known of the athlete, and its limits [N·m]."""

    first: Measured
    largest: Measured


@dataclass(frozen=True, kw_only=True)
class Link:
    """One link of a chain: the axis it loads, its aim, and its own start load; `loads` "none" passes through."""

    loads: str
    aim: str
    start_load: StartLoad | None


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """One thing that speaks for the exercise, where it stands, and how that is known."""

    says: str
    source: str
    known: Known


@dataclass(frozen=True, kw_only=True)
class Pose:
    """The body at one moment [rad]; turn, lean and tilt are towards the working side.

    `head_forward` slides the head, as a share of stature. `link` says what the way to this pose loads and for what;
    None leaves it to the exercise as a whole.
    """

    name: str
    link: Link | None = None
    head_turn: float = 0.0
    head_tilt: float = 0.0
    head_nod: float = 0.0
    head_forward: float = 0.0
    trunk_forward: float = 0.0
    turn_to_working_side: float = 0.0
    lean_to_working_side: float = 0.0
    working: ArmPose
    other: ArmPose


@dataclass(frozen=True, kw_only=True)
class BandUse:
    """How the band is used.

    Parameters
    ----------
    fixed_to : str
        "post" (or wall, door, floor: whatever the venue offers), "chair" or "other hand".
    anchor_side : str
        Where the post stands, seen from the athlete.
    chair_point : str
        With "chair": where on it; `chair_point_opposite` takes the side away from the pulling hand.
    grip : str
        "each" (both hands pull, each its strand), "working" (one hand), "joined" (both hands on one band).
    attach : str
        Where the band pulls: the hand, or a cuff; a weak or missing grip asks for the next cuff up.
    height_from : str
        Body point that `height_window` is counted from: "shoulder", "sternum", "elbow", "hips".
    height_window : (float, float)
        Anchor heights allowed from there [m].
    distance_window : (float, float)
        Along the floor from the footplate, or from the tyre, to the post [m].
    sideways : float
        Anchor off the straight line from the working shoulder, towards the working side [m].
    """

    fixed_to: FixedTo
    grip: Literal["each", "working", "joined"]
    attach: Attach
    anchor_side: AnchorSide = "front"
    height_from: Literal["shoulder", "sternum", "elbow", "hips", "floor"] = "sternum"
    height_window: tuple[float, float] = (0.0, 0.0)
    distance_window: tuple[float, float] = (0.0, 0.0)
    sideways: float = 0.0
    chair_point: ChairPoint = "side rail"
    chair_point_opposite: bool = False
    may_lie_on: tuple[BodyPart, ...] = ()


@dataclass(frozen=True, kw_only=True)
class BallUse:
    """A ball in the working hand: the heaviest [kg] and the biggest [m] that will do.

    `may_be_left_out` is whether the arm's own weight trains the same: where the lightest ball makes a first set too
    heavy, it is done with the empty hand.
    """

    largest_mass: float
    largest_diameter: float
    may_be_left_out: bool = False


@dataclass(frozen=True, kw_only=True)
class DoseOption:
    """One dose: `sets` of `repetitions` or of `seconds`; seconds for the phases and the pauses [s].

    `per_side` says that both sides are done one after the other. A court drill lasts `seconds` and is counted in
    `rounds`, with `rounds_words` for what one round is. `only_with_care` keeps a dose for those whom a caution holds
    to it: nobody else is given it unasked, and no kind of session lengthens it. `rhythm` says how fast a movement goes
    that is too quick for phases: "two touches a second".
    """

    name: str
    sets: int
    repetitions: int | None = None
    seconds: float | None = None
    out_s: float = 2.0
    hold_s: float = 0.0
    back_s: float = 2.0
    pause_s: float = 45.0
    per_side: bool = False
    rounds: int | None = None
    rounds_words: str = ""
    only_with_care: bool = False
    rhythm: str = ""

    @property
    def set_seconds(self) -> float:
        """Length of one set on one side [s]."""
        if self.seconds is not None:
            return self.seconds
        assert self.repetitions is not None, "the loader asks for repetitions or seconds"
        return self.repetitions * (self.out_s + self.hold_s + self.back_s)


@dataclass(frozen=True, kw_only=True)
class Needs:
    """What an exercise cannot do without; grades 0-5, ranges [rad]. `post` says that a post is needed.

    `anti_tip_or_trunk` is for what leans or brakes backwards: an anti-tip wheel must be known, or trunk control.
    """

    elevation: float = 0.0
    external_rotation: float = 0.0
    elbow_extension: int = 0
    wrist_extension: int = 0
    grip: Grip = "none"
    floor_length: float = 0.0
    floor_width: float = 0.0
    cones: int = 0
    post: bool = False
    hands: int = 1
    anti_tip_or_trunk: bool = False


@dataclass(frozen=True, kw_only=True)
class Caution:
    """A condition that excludes an exercise, or asks for care, with the sentence that says why.

    Parameters
    ----------
    condition : str
        A health condition of the athlete's file, or a trait.
    effect : str
        "exclude" leaves the exercise out.  "care" says how to do with care just what is drawn and printed: another
        movement or range is another exercise.
    why, do : str
        For "exclude", `do` names what to do in its place.
    doses : tuple of str
        With "care": names of the only doses that may be offered; empty for all.
    one_arm_instead : bool
        With "exclude": the one-arm variant, the other hand on the chair, may be done, and then asks for care.
    cue : str
        With "care": what is said in place of the exercise's own cue, where that asks for what is not possible here.
    strap : str
        With "care": the least strap, "waist" or "chest", that is put on for it where there is one; "none" for none.
    gone_with_strap : bool
        With a `strap`: it takes the reason away, and the caution counts only where no such strap is worn or at hand.
    walking_pace : bool
        With "care", of a drill on a course: it is done at walking pace, and timed so.
    """

    condition: str
    effect: Literal["exclude", "care"]
    why: str
    do: str
    doses: tuple[str, ...] = ()
    one_arm_instead: bool = False
    cue: str = ""
    strap: Strap = "none"
    gone_with_strap: bool = False
    walking_pace: bool = False


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """One exercise; see docs/how-to/write-an-exercise.md.

    Parameters
    ----------
    loads : str
        The axis named in `LOADS` that the set-up is computed for.
    axes : str
        "humerus" or "thorax": the axes of the shoulder moment curve, fixed for the whole movement.
    sides : str
        "together" (both arms at once), "each" (one after the other).
    circle : float or None
        Half angle of the cone that the straight arm draws about its start pose [rad].
    static : bool
        Whether static moments mean anything (not in pushing, dribbling or where somebody else pushes).
    band_without_post : BandUse or None
        How the band is used where the venue has no post.
    contact : str or None
        What else the body or the ball leans on.
    on_the_floor : str
        What is laid out for a court drill, in words.
    course : str
        Id of the layout of a court drill; its spacing and its times are reckoned for chair and floor.
    effort : (int, int) or None
        What is meant of it on the 6-20 scale, where that is another than of its part: "9 to 11" of easy rolling.
    floor_facts : tuple of (str, str)
        Where it is laid: its measures, label and value; empty as long as it is not.
    easier_exercise, harder_exercise : str or None
        Ids of the exercises one step down and up.
    advanced : bool
        Not for a first time: the easier exercise comes before it.
    by_hand : tuple of DoseOption
        Doses that nobody is given unasked, and that are offered by hand.
    opens_part : bool
        Whether it comes first in its part, for example easy rolling before anything is stretched.
    after_any : tuple of str
        Ids of exercises of which one must come before it in the session, for example easy pushing before hard stops.
    """

    id: str
    title: str
    part: Part
    aims: tuple[str, ...]
    loads: str
    axes: Literal["humerus", "thorax"]
    sides: Literal["together", "each"]
    summary: str
    poses: tuple[Pose, ...]
    circle: float | None = None
    static: bool = True
    band: BandUse | None = None
    band_without_post: BandUse | None = None
    ball: BallUse | None = None
    contact: Contact | None = None
    on_the_floor: str = ""
    course: CourseLayout | None = None
    effort: tuple[int, int] | None = None
    floor_facts: tuple[tuple[str, str], ...] = ()
    one_arm_variant: bool = False
    doses: tuple[DoseOption, ...]
    by_hand: tuple[DoseOption, ...] = ()
    needs: Needs
    start_load: StartLoad | None = None
    cautions: tuple[Caution, ...] = ()
    cue: str
    watch_for: tuple[str, ...] = ()
    setting_up_s: float = 30.0
    harder: tuple[str, ...] = ()
    easier: tuple[str, ...] = ()
    harder_exercise: str | None = None
    easier_exercise: str | None = None
    advanced: bool = False
    opens_part: bool = False
    after_any: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()

    @property
    def rolls(self) -> bool:
        """Whether the chair rolls in it: a court drill, or easy rolling over free floor."""
        return self.part == "court" or (bool(self.on_the_floor) and not self.static)

    @property
    def leans_on_post(self) -> bool:
        """Whether the chair stands beside an upright post that the forearm leans on."""
        return self.contact == "forearm on post"

    @property
    def loaded_links(self) -> tuple[tuple[int, Link], ...]:
        """The links of a chain that load something, each with the index of the pose it ends in; empty otherwise."""
        links = ((index, pose.link) for index, pose in enumerate(self.poses))
        return tuple((index, link) for index, link in links if link is not None and link.loads != "none")

    def sides_of(self, side: Side) -> tuple[Side, ...]:
        """Return the arms that work when the exercise is done on `side`."""
        return ("left", "right") if self.sides == "together" else (side,)
