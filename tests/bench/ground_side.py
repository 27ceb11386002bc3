# SPDX-License-Identifier: MIT
#
# Beside ours in tests/bench/ground.sh: shapely's STRtree on the same work, and whether two answers
# are the same.
#   ground_side.py shapely DIR          loads DIR/layer.shp, asks for every site: DIR/shapely.csv
#   ground_side.py compare A.csv B.csv  A in the plane of UTM 30N, B on the ellipsoid
import struct
import sys
import time


def by_shapely(folder):
    from shapely.geometry import Point, Polygon, box
    from shapely.strtree import STRtree

    start = time.perf_counter()
    data = open(folder + "/layer.shp", "rb").read()
    polygons, number = [], {}
    at = 100
    while at < len(data):
        size = struct.unpack(">i", data[at + 4 : at + 8])[0] * 2
        parts, places = struct.unpack("<ii", data[at + 44 : at + 52])
        first = at + 52 + 4 * parts
        xy = struct.unpack("<%dd" % (2 * places), data[first : first + 16 * places])
        polygon = Polygon(list(zip(xy[0::2], xy[1::2])))
        polygons.append(polygon)
        number[id(polygon)] = len(polygons)
        at += 8 + size
    sites = [line.split(",") for line in open(folder + "/sites.csv")]
    sites = [(int(s[0]), float(s[3]), float(s[4])) for s in sites]
    loaded = time.perf_counter()
    tree = STRtree(polygons)
    tree.query(Point(0, 0))
    indexed = time.perf_counter()
    processor = time.process_time()
    found = []
    for site, x, y in sites:
        point = Point(x, y)
        for polygon in tree.query(box(x - 300, y - 300, x + 300, y + 300)):
            distance = polygon.distance(point)
            if distance <= 300:
                found.append((site, number[id(polygon)], distance))
    asked = time.perf_counter()
    processor = time.process_time() - processor
    with open(folder + "/shapely.csv", "w") as out:
        for hit in found:
            out.write("%d,%d,%.4f\n" % hit)
    print(
        "shapely: load %.3f s, index %.3f s, ask %.3f s (processor %.3f s), %d hits, sum %.3f"
        % (loaded - start, indexed - loaded, asked - indexed, processor, len(found), sum(h[2] for h in found))
    )


def read(path):
    hits = {}
    for line in open(path):
        site, record, distance = line.split(",")
        hits[int(site), int(record)] = float(distance)
    return hits


def compare(plane_path, earth_path):
    # UTM's scale between 400 and 600 km east: 0.9996 (1 + (E - 500 km)^2 / 2 R^2), 0.99960 to 0.99973
    plane, earth = read(plane_path), read(earth_path)
    apart = 0
    for key in set(plane) | set(earth):
        a, b = plane.get(key), earth.get(key)
        if a is None or b is None:
            one = a if b is None else b
            if abs(one - 300) > 0.2:
                sys.exit("%s: only one side has %s at %.4f m" % (plane_path, key, one))
            continue
        if not (0.99955 * b - 0.001 <= a <= 0.99980 * b + 0.001):
            sys.exit("%s: %s is %.4f m in the plane, %.4f m on the ellipsoid" % (plane_path, key, a, b))
        apart += 1
    print("the same %d hits, distances agree within the map's scale" % apart)


if sys.argv[1] == "shapely":
    by_shapely(sys.argv[2])
else:
    compare(sys.argv[2], sys.argv[3])
