"""camera_frame.csv: where directions fall in the frame of a rectilinear lens, by OpenCV.

The camera is turned by SciPy's rotations, the projection is OpenCV's pinhole camera without
distortion; no formula of rakelight is used.
"""

import datetime
import os

import cv2
import numpy as np
import scipy
from scipy.spatial.transform import Rotation

ROWS = 600
SEED = 19641224
SENSORS_MM = [(36.0, 24.0), (23.5, 15.6), (17.4, 13.0), (43.8, 32.9), (53.4, 40.0)]
# A row closer than this to the plane through the lens square to its axis is left out: its
# position is near infinity.
LEAST_AHEAD = 0.02

# Axes of the world: east, north, up. Those of OpenCV's camera: right, down, ahead.
LEVEL_NORTHWARD = Rotation.from_matrix([[1, 0, 0], [0, 0, 1], [0, -1, 0]])


def turned(azimuth_deg, altitude_deg):
    """From northward and level to an azimuth (through east) and an altitude."""
    return Rotation.from_euler("z", -azimuth_deg, degrees=True) * Rotation.from_euler(
        "x", altitude_deg, degrees=True
    )


def near_the_frame(random, camera_to_world, half_tangents):
    """A direction near an edge, in or out, near a corner, or anywhere in the frame."""
    across, up = random.uniform(-1.0, 1.0, 2)
    kind = random.integers(4)
    beside = 1.0 + random.normal(0.0, 0.02)
    if kind == 0:
        across = np.sign(across) * beside
    elif kind == 1:
        up = np.sign(up) * beside
    elif kind == 2:
        across = np.sign(across) * beside
        up = np.sign(up) * (1.0 + random.normal(0.0, 0.02))
    ray = [across * half_tangents[0], -up * half_tangents[1], 1.0]
    east, north, high = camera_to_world.apply(ray)
    return (
        np.degrees(np.arctan2(east, north)) % 360.0,
        np.degrees(np.arctan2(high, np.hypot(east, north))),
    )


def main():
    random = np.random.default_rng(SEED)
    rows = []
    while len(rows) < ROWS:
        sensor_mm = SENSORS_MM[random.integers(len(SENSORS_MM))]
        focal_mm = round(float(np.exp(random.uniform(np.log(10.0), np.log(600.0)))), 2)
        holding = ("landscape", "portrait")[random.integers(2)]
        width_mm, height_mm = sensor_mm if holding == "landscape" else sensor_mm[::-1]
        bearing_deg = round(random.uniform(0.0, 360.0), 3)
        pitch_deg = round(random.uniform(-30.0, 80.0), 3)
        camera_to_world = turned(bearing_deg, pitch_deg) * LEVEL_NORTHWARD
        where = random.integers(10)
        if where < 7:
            half_tangents = (width_mm / 2 / focal_mm, height_mm / 2 / focal_mm)
            azimuth_deg, altitude_deg = near_the_frame(random, camera_to_world, half_tangents)
        elif where == 7:
            azimuth_deg, altitude_deg = random.uniform(0.0, 360.0), random.uniform(85.0, 90.0)
        else:
            azimuth_deg = random.uniform(0.0, 360.0)
            altitude_deg = np.degrees(np.arcsin(random.uniform(-1.0, 1.0)))
        azimuth_deg, altitude_deg = round(float(azimuth_deg), 6), round(float(altitude_deg), 6)

        direction = turned(azimuth_deg, altitude_deg).apply([0.0, 1.0, 0.0])
        world_to_camera = camera_to_world.inv()
        ahead = world_to_camera.apply(direction)[2]
        if abs(ahead) < LEAST_AHEAD:
            continue
        # In millimetres from the sensor's upper left corner.
        matrix = np.array(
            [[focal_mm, 0.0, width_mm / 2], [0.0, focal_mm, height_mm / 2], [0.0, 0.0, 1.0]]
        )
        points, _ = cv2.projectPoints(
            direction.reshape(1, 1, 3), world_to_camera.as_rotvec(), np.zeros(3), matrix, None
        )
        right_mm, down_mm = points.reshape(2)
        inside = bool(ahead > 0 and 0 <= right_mm <= width_mm and 0 <= down_mm <= height_mm)
        across, up = 2 * right_mm / width_mm - 1, 1 - 2 * down_mm / height_mm
        position = [f"{across:.10f}", f"{up:.10f}"] if ahead > 0 else ["", ""]
        rows.append(
            [*sensor_mm, focal_mm, holding, bearing_deg, pitch_deg]
            + [f"{azimuth_deg:.6f}", f"{altitude_deg:.6f}"]
            + [str(bool(ahead > 0)).lower(), *position, str(inside).lower()]
        )
    header = [
        "Where a direction falls in the frame of a rectilinear lens without roll.",
        f"Source: OpenCV {cv2.__version__} (projectPoints), SciPy {scipy.__version__} (Rotation).",
        "Settings: pinhole camera without distortion, principal point in the middle of the sensor;",
        f"seed {SEED}; directions within {LEAST_AHEAD} of a right angle to the axis left out.",
        "across, up: half frames from the centre, right and up positive, -1 to 1 inside; empty",
        "behind the camera. Sensor as in landscape. Script make/camera_frame.py.",
    ]
    made = datetime.datetime.now(datetime.timezone.utc).strftime("%Y-%m-%d")
    columns = (
        "sensor_width_mm,sensor_height_mm,focal_mm,holding,bearing_deg,pitch_deg,"
        "azimuth_deg,altitude_deg,ahead,across,up,inside"
    )
    folder = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
    path = os.path.join(folder, "camera_frame.csv")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        for line in [*header, f"Made {made}."]:
            file.write(f"# {line}\n")
        file.write(columns + "\n")
        for row in rows:
            file.write(",".join(str(value) for value in row) + "\n")
    inside = sum(row[-1] == "true" for row in rows)
    print(f"camera_frame.csv: {len(rows)} rows, {inside} inside")


main()
