"""The crop set of the refining network: joints of our own drawings, cut out where the body network believes they lie.
(Measured and not shipped, see MODEL_CARD.md; also writes held-out drawings for bench_proposal.)

  python3 refine_data.py OUT.npz --scenes 3000 --seed 900000000 [--net ../data/proposal/body.net]
  python3 refine_data.py FOLDER --pictures --scenes 150 --seed 910000000     drawings with marks files, for bench_proposal

The body network's real errors on these drawings are the errors that the refining network learns to take away, so there is no
error model to get wrong. CPU only: OpenCV runs the shipped weights.
"""
import argparse, json, os, sys, time
import numpy as np, cv2
import nets
from drawer_cpu import Drawer
from packed import expand

HERE = os.path.dirname(os.path.abspath(__file__))
SIDE, PICTURE, CROP, EDGE, SPAN = 256, 448, 64, 4, 0.20  # EDGE: what shifting may cut off; SPAN: side of a crop, figure sizes
KINDS = "neck_pit shoulder elbow wrist hand_tip hip knee ankle toe".split()
JOINTS = list(range(2, 19))  # crown and chin have the head's view
MIRROR = nets.BODY_MIRROR
# the joints before and behind on the body; of those at an end the one before that
BEFORE = [1, 2, 1, 2, 2, 3, 4, 5, 6, 7, 8, 3, 4, 11, 12, 13, 14, 15, 16]
BEHIND = [2, 2, 0, 5, 6, 7, 8, 9, 10, 5, 6, 13, 14, 15, 16, 17, 18, 13, 14]


def kind_of(joint):
    return 0 if joint == 2 else (joint - 3) // 2 + 1


class Coarse:
    def __init__(self, path):
        cv2.setNumThreads(1)
        self.net = cv2.dnn.readNetFromONNX(np.frombuffer(expand(path), np.uint8))

    def run(self, rgb):
        """rgb: uint8 [256, 256, 3] -> maps, aux."""
        self.net.setInput(cv2.dnn.blobFromImage(rgb, 1 / 255.0, (SIDE, SIDE)))
        maps, aux = self.net.forward(["maps", "aux"])
        return maps[0].copy(), aux[0].copy()


def view_of(im, x0, y0, step, side, white=(255, 255, 255)):
    """Input point (i, j) shows x0 + step i, y0 + step j of the picture (view.cc)."""
    src, f = im, 1.0
    if step > 1.5:
        k = int(step / 1.5)
        if k >= 2:
            src = cv2.resize(im, (im.shape[1] // k, im.shape[0] // k), interpolation=cv2.INTER_AREA)
            f = im.shape[1] / src.shape[1]
        if step / f > 1.5:
            src = cv2.GaussianBlur(src, (0, 0), 0.4 * step / f)
    m = np.float64([[step / f, 0, (x0 + step / 2) / f - 0.5], [0, step / f, (y0 + step / 2) / f - 0.5]])
    return cv2.warpAffine(src, m, (side, side), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_CONSTANT, borderValue=white)


def softmax(l):
    e = np.exp(l - l.max((-2, -1), keepdims=True))
    return e / e.sum((-2, -1), keepdims=True)


def peaks(p, n):
    p, out = p.copy(), []
    for _ in range(n):
        y, x = np.unravel_index(p.argmax(), p.shape)
        y0, y1, x0, x1 = max(0, y - 2), min(64, y + 3), max(0, x - 2), min(64, x + 3)
        q = p[y0:y1, x0:x1]
        yy, xx = np.mgrid[y0:y1, x0:x1]
        m = q.sum() + 1e-12
        out.append((q.sum(), np.array([(q * xx).sum(), (q * yy).sum()]) / m * 4 + 2))
        p[max(0, y - 4):y + 5, max(0, x - 4):x + 5] = 0
    return out


def decode(P):
    at, conf = np.zeros((19, 2)), np.zeros(19)
    for i in range(3):
        conf[i], at[i] = peaks(P[i], 1)[0]
    for i in range(3, 19, 2):
        best = None
        for va, qa in peaks(P[i], 3):
            for vb, qb in peaks(P[i + 1], 3):
                s = np.log(va + 1e-3) + np.log(vb + 1e-3) - 1.2 * np.exp(-((qa - qb) ** 2).sum() / 72)
                if best is None or s > best[0]:
                    best = (s, qa, qb, va, vb)
        _, at[i], at[i + 1], conf[i], conf[i + 1] = best
    return at, conf


def three_views(coarse, im, box):
    """Belief of all points as ProposeMarks has it for one figure alone. Returns belief, aux, x0, y0, step of the own view, logits."""
    h, w = im.shape[:2]
    frame = max(h, w)
    step1 = 1.1 * frame / SIDE
    x1, y1 = w / 2 - 1.1 * frame / 2, h / 2 - 1.1 * frame / 2
    first, _ = coarse.run(view_of(im, x1, y1, step1, SIDE))
    size = 2 * max(box[2], box[3])
    side = frame if size > 0.62 * frame else 1.18 * size
    cx, cy = (w / 2, h / 2) if size > 0.62 * frame else (box[0], box[1])
    step, x0, y0 = side / SIDE, cx - side / 2, cy - side / 2
    own_view = view_of(im, x0, y0, step, SIDE)
    a, aux_a = coarse.run(own_view)
    b, aux_b = coarse.run(np.ascontiguousarray(own_view[:, ::-1]))
    b = b[:, :, ::-1].copy()
    b[:19] = b[MIRROR]
    aux_b[:19] = aux_b[MIRROR]
    belief = softmax((a[:19] + b[:19]) / 2)
    if 1 / 1.6 < step1 / step < 1.6:
        k = step / step1
        m = np.float64([[k, 0, ((x0 + 2 * step - x1) / step1) / 4 - 0.5], [0, k, ((y0 + 2 * step - y1) / step1) / 4 - 0.5]])
        for i, p in enumerate(softmax(first[:19])):
            c = cv2.warpAffine(p, m, (64, 64), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
            if c.sum() > 1e-3:
                belief[i] = (belief[i] + 0.5 * c / c.sum()) / 1.5
    return belief, (aux_a + aux_b) / 2, x0, y0, step, (first, a, b)


def weather(r, im):
    """What happens to pictures on their way to us. im: uint8 RGB."""
    h, w = im.shape[:2]
    if r.rand() < 0.35:
        s = r.uniform(0.5, 0.95)
        im = cv2.resize(cv2.resize(im, (int(w * s), int(h * s)), interpolation=cv2.INTER_AREA), (w, h), interpolation=cv2.INTER_LINEAR)
    x = im.astype(np.float32) / 255
    if r.rand() < 0.35:
        x = (x - 0.5) * r.uniform(0.5, 1.3) + 0.5 + (r.uniform(-0.2, 0.2) if r.rand() < 0.5 else 0)
    if r.rand() < 0.15:
        x = x * r.uniform(0.75, 1.25, (1, 1, 3)).astype(np.float32)
    if r.rand() < 0.1:
        x = x.mean(2, keepdims=True).repeat(3, 2)
    if r.rand() < 0.03:
        x = 1 - x
    if r.rand() < 0.3:
        x = x + r.normal(0, 0.08 * r.rand(), x.shape).astype(np.float32)
    im = (x.clip(0, 1) * 255 + 0.5).astype(np.uint8)
    if r.rand() < 0.5:
        im = cv2.imdecode(cv2.imencode(".jpg", im, [cv2.IMWRITE_JPEG_QUALITY, int(r.randint(50, 96))])[1], cv2.IMREAD_COLOR)
    return im


def scenes(seed, count, side=PICTURE):
    """Drawings with one leading figure: number, uint8 RGB picture, points [19, 3] in px, box, technique."""
    d, n, made = Drawer(), 0, 0
    while n < count:
        image, l = d.draw(seed + made, 8, 0, side)
        for i in range(8):
            r = np.random.RandomState((seed + made + i) % (1 << 32))
            pts = l["body"][i].astype(np.float64)
            if n >= count or l["main"][i] < 0.5 or l["box"][i][0, 4] < 0.5:
                continue
            im = (image[i].transpose(1, 2, 0).clip(0, 1) * 255 + 0.5).astype(np.uint8)
            pts[:, :2] *= side / 256.0
            yield n, weather(r, np.ascontiguousarray(im)), pts, l["box"][i][0, :4] * side / 256.0, int(l["technique"][i]), r
            n += 1
        made += 8


def cues(at, joint, flip, extent, conf):
    """Where the neighbours on the body and the other side lie, figure sizes; and how sure the point is."""
    v = [(at[k] - at[joint]) / extent for k in (BEFORE[joint], BEHIND[joint], MIRROR[joint])]
    v = np.concatenate(v)
    if flip:
        v[0::2] *= -1
    return np.concatenate([v.clip(-1, 1), [conf[joint]]])


def crops_of(im, belief, x0, y0, step, at, conf, extent, joints, edge=EDGE):
    """at: px of the picture. Crops uint8 [n, s, s, 3], belief [n, 2, s/4, s/4] (own, other side), cues [n, 7]; left-named joints mirrored."""
    s = CROP + 2 * edge
    pixel = SPAN * extent / CROP
    images, maps, cue = [], [], []
    for j in joints:
        flip = MIRROR[j] > j  # left-named
        cx, cy = at[j]
        c = view_of(im, cx - pixel * s / 2, cy - pixel * s / 2, pixel, s)
        k = 4 * pixel / (4 * step)  # belief cells a map cell
        m = np.float64([[k, 0, (cx - pixel * s / 2 + 2 * pixel - x0) / (4 * step) - 0.5], [0, k, (cy - pixel * s / 2 + 2 * pixel - y0) / (4 * step) - 0.5]])
        b = [cv2.warpAffine(belief[q], m, (s // 4, s // 4), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP) for q in (j, MIRROR[j])]
        if MIRROR[j] == j:
            b[1][:] = 0
        if flip:
            c, b = c[:, ::-1], [q[:, ::-1] for q in b]
        images.append(c)
        maps.append(np.stack(b))
        cue.append(cues(at, j, flip, extent, conf))
    return np.stack(images), np.stack(maps).astype(np.float32), np.float32(cue)


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("out")
    ap.add_argument("--scenes", type=int, default=3000)
    ap.add_argument("--seed", type=int, default=900000000)
    ap.add_argument("--net", default=os.path.join(HERE, "..", "data", "proposal", "body.net"))
    ap.add_argument("--pictures", action="store_true")
    a = ap.parse_args()
    t = time.time()
    if a.pictures:
        os.makedirs(a.out, exist_ok=True)
        for n, im, pts, box, technique, r in scenes(a.seed, a.scenes, 640):
            if (pts[:, 2] > 0.5).sum() < 12:
                continue
            name = "b%04d_%02d.png" % (n, technique)
            cv2.imwrite(os.path.join(a.out, name), im[:, :, ::-1])
            points = {k: [round(float(p[0]), 2), round(float(p[1]), 2)] for k, p in zip(nets.BODY, pts) if p[2] > 0.5}
            marks = {"format": "armslength-marks", "version": 1, "picture": {"file": name, "width": 640, "height": 640}, "figures": [{"name": "figure 1", "points": points}]}
            json.dump(marks, open(os.path.join(a.out, name[:-4] + ".marks.json"), "w"))
        return
    coarse, keep = Coarse(a.net), []
    for n, im, pts, box, technique, r in scenes(a.seed, a.scenes):
        box = box * np.exp(r.normal(0, 0.03, 4))
        belief, aux, x0, y0, step, _ = three_views(coarse, im, box)
        at, conf = decode(belief)
        inside = 1 / (1 + np.exp(-aux[:19])) > 0.35
        if inside.sum() < 2:
            continue
        at = at * step + [x0, y0]
        q = at[inside]
        extent = max((q.max(0) - q.min(0)).max(), 1.0)
        joints = [j for j in JOINTS if inside[j] and pts[j, 2] > 0.5]
        if not joints:
            continue
        images, maps, cue = crops_of(im, belief, x0, y0, step, at, conf, extent, joints)
        off = (pts[joints, :2] - at[joints]) / (SPAN * extent / CROP)  # crop pixels
        off[[MIRROR[j] > j for j in joints], 0] *= -1
        keep.append((images, maps.astype(np.float16), cue, off.astype(np.float32), np.int16([kind_of(j) for j in joints]), np.full(len(joints), n, np.int32)))
        if n % 200 == 0:
            print("%d scenes, %.0f s" % (n, time.time() - t), flush=True)
    parts = [np.concatenate(k) for k in zip(*keep)]
    np.savez(a.out, images=parts[0], maps=parts[1], cues=parts[2], off=parts[3], kind=parts[4], scene=parts[5], seed=a.seed)
    e = np.linalg.norm(parts[3], axis=1) * SPAN / CROP * 100
    print("%d crops of %d scenes, %.0f s; body network alone: median %.2f 90th %.1f %% of the figure" % (len(e), len(keep), time.time() - t, np.median(e), np.percentile(e, 90)))


if __name__ == "__main__":
    main()
