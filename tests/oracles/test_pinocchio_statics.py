"""Static moments against Pinocchio, over 10,000 random poses with a force on either hand.

The oracle is a chain of spherical joints built from plain lengths, masses and centres of mass. The gravity torques of
`computeGeneralizedGravity` less J'F of the hand force (Jacobian of the grip, world axes) are what muscles must hold.
"""

import numpy as np
import pinocchio as pin
from random_poses import BODIES, POSES_OF_EACH, SEGMENTS, Sample, samples
from scipy.spatial.transform import Rotation

from firstpush.core.body.moments import arm_moments, trunk_moment
from firstpush.core.people.athlete import SIDES

TOLERANCE = 1e-9
"""N·m, as asked for in the project's own plan; the machine gives about 1e-13."""


def place(z: float) -> pin.SE3:
    """Return a shift along Z."""
    return pin.SE3(np.eye(3), np.array([0.0, 0.0, z]))


def model_of(sample: Sample) -> tuple[pin.Model, dict[str, int], dict[str, int]]:
    """Return the chain for one body, the joint of each segment and the frame of each grip."""
    model = pin.Model()
    model.gravity.linear = np.array([0.0, 0.0, -9.81])

    def add(parent: int, name: str, mass: float, com: float, at: float) -> int:
        joint = model.addJoint(parent, pin.JointModelSpherical(), place(at), name)
        model.appendBodyToJoint(joint, pin.Inertia(mass, np.array([0.0, 0.0, com]), np.eye(3)), pin.SE3.Identity())
        return joint

    trunk_com = sample.trunk_height * (1 - sample.com["trunk"])
    joints = {"trunk": add(0, "trunk", sample.mass["trunk", None], trunk_com, 0.0)}
    grips = {}
    for side in SIDES:
        parent, at = joints["trunk"], 0.0
        for name in SEGMENTS:
            length = sample.length[name]
            parent = add(parent, f"{side} {name}", sample.mass[name, side], -sample.com[name] * length, at)
            joints[f"{side} {name}"], at = parent, -length
        grips[side] = model.addFrame(pin.Frame(f"{side} grip", parent, place(at), pin.FrameType.OP_FRAME))
    return model, joints, grips


def oracle_moments(sample: Sample) -> dict[str, np.ndarray]:
    """Return the world moments at every joint, and how far the oracle's hands are from ours [m]."""
    (model, joints, grips), bones = model_of(sample), sample.bones
    trunk_alone = model.inertias[joints["trunk"]].copy()
    into_thorax = np.swapaxes(bones.thorax_frame, -1, -2)

    def from_hips(point: np.ndarray) -> np.ndarray:
        return (into_thorax @ (point - bones.hip_centre)[..., None])[..., 0]

    frames, parents = {"trunk": bones.thorax_frame}, {"trunk": np.eye(3)}
    for side in SIDES:
        arm = bones.arms[side]
        below = bones.thorax_frame
        for name, frame in zip(SEGMENTS, (arm.humerus_frame, arm.forearm_frame, arm.forearm_frame), strict=True):
            frames[f"{side} {name}"], parents[f"{side} {name}"] = frame, below
            below = frame
    turns = {name: Rotation.from_matrix(np.swapaxes(parents[name], -1, -2) @ frames[name]).as_quat() for name in frames}
    shoulders, head = {side: from_hips(bones.arms[side].shoulder) for side in SIDES}, from_hips(bones.head)
    hands = {side: bones.arms[side].hand - bones.hip_centre for side in SIDES}
    data = model.createData()
    found = {name: np.empty((POSES_OF_EACH, 3)) for name in frames}
    found["hands apart"] = np.empty((POSES_OF_EACH, 2))
    position = np.empty(model.nq)
    for i in range(POSES_OF_EACH):
        for name, joint in joints.items():
            first = model.joints[joint].idx_q
            position[first : first + 4] = turns[name][i]
        for side in SIDES:
            model.jointPlacements[joints[f"{side} upper arm"]] = pin.SE3(np.eye(3), shoulders[side][i])
        model.inertias[joints["trunk"]] = trunk_alone + pin.Inertia(sample.mass["head", None], head[i], np.eye(3))
        torque = pin.computeGeneralizedGravity(model, data, position).copy()
        pin.computeJointJacobians(model, data, position)
        pin.updateFramePlacements(model, data)
        for k, side in enumerate(SIDES):
            jacobian = pin.getFrameJacobian(model, data, grips[side], pin.LOCAL_WORLD_ALIGNED)[:3]
            torque -= jacobian.T @ sample.force[side][i]
            found["hands apart"][i, k] = np.linalg.norm(data.oMf[grips[side]].translation - hands[side][i])
        for name, joint in joints.items():
            first = model.joints[joint].idx_v
            found[name][i] = frames[name][i] @ torque[first : first + 3]
    return found


def test_every_joint_moment_agrees_with_pinocchio() -> None:
    """Shoulder, elbow, wrist and hip moments are Pinocchio's gravity torques less J'F."""
    assert BODIES * POSES_OF_EACH >= 10_000
    worst: dict[str, float] = {}
    for sample in samples(seed=21):
        theirs = oracle_moments(sample)
        assert theirs["hands apart"].max() < 1e-12, "the oracle's hand is not where ours is"
        ours = {}
        for side in SIDES:
            arm = arm_moments(sample.body, sample.bones, side=side, force=sample.force[side])
            ours |= {
                f"{side} upper arm": arm.shoulder.world,
                f"{side} forearm": arm.elbow_world,
                f"{side} hand": arm.wrist_world,
            }
        pulls = [(sample.bones.arms[side].hand, sample.force[side]) for side in SIDES]
        ours["trunk"] = trunk_moment(sample.body, sample.bones, pulls).world
        for name, moment in ours.items():
            worst[name] = max(worst.get(name, 0.0), float(np.abs(moment - theirs[name]).max()))
    assert len(worst) == 7
    assert max(worst.values()) <= TOLERANCE, worst
