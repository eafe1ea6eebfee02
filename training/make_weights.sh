#!/bin/sh
# From nothing to data/proposal/*.net: three rounds on a machine with two GPUs (about 25 minutes), the mean of the last two rounds'
# body weights, two long rounds of the body alone from there (18 and 26 minutes; more GPUs help), the mean of those two, a last round
# (14 minutes) that goes into it at three tenths, export, and whether OpenCV reads what was written.
# Needs nvcc, PyTorch, onnx, OpenCV for Python.
#   training/make_weights.sh WORK_FOLDER [PICTURES TO SCORE]
#   training/make_weights.sh WORK_FOLDER --smoke     every step, a few seconds each, on a CPU; data/proposal stays as it is
set -e
here=$(cd "$(dirname "$0")" && pwd)
work=$1; pictures=$2; out=$here/../data/proposal
[ -n "$work" ] || { echo "usage: make_weights.sh WORK_FOLDER [PICTURES | --smoke]" >&2; exit 2; }
mkdir -p "$work"
work=$(cd "$work" && pwd)
if [ "$pictures" = --smoke ]; then
  export SMOKE=1
  pictures='' out=$work/net
fi
COMPILE=0 "$here/round.sh" "$work/1" 400 11 "" "$pictures"
COMPILE=1 TOGETHER=1 "$here/round.sh" "$work/2" 450 22 "$work/1" "$pictures"
COMPILE=0 TOGETHER=1 BATCH=384 RATE=1.2e-3 "$here/round.sh" "$work/3" 425 33 "$work/2" "$pictures"
mkdir -p "$work/mean"
python3 "$here/average.py" "$work/2/body.pt" "$work/3/body.pt" "$work/mean/body.pt"
# body_round SECONDS SEED FROM TO [RATE]
body_round() {
  mkdir -p "$work/$4"
  if [ "$SMOKE" = 1 ]; then
    (cd "$here" && python3 train.py body --smoke --batch 4 --seed "$2" --out "$work/$4" --init "$work/$3/body.pt")
  else
    (cd "$here" && DRAWER_SO="$work/3.drawer.so" torchrun --standalone --nproc_per_node "$(python3 -c 'import torch; print(torch.cuda.device_count())')" \
      train.py body --seconds "$1" --seed "$2" --rate "${5:-1.3e-3}" --out "$work/$4" --init "$work/$3/body.pt")
  fi
}
body_round 1100 44 mean 4
body_round 1555 66 4 5
mkdir -p "$work/mean5" "$work/last"
python3 "$here/average.py" "$work/4/body.pt" "$work/5/body.pt" "$work/mean5/body.pt"
body_round 845 77 mean5 6 1.2e-3
python3 "$here/average.py" "$work/mean5/body.pt" "$work/6/body.pt" "$work/last/body.pt" 0.3
cp "$work/3/head.pt" "$work/last/head.pt"
python3 "$here/export.py" "$work/last" "$out"
python3 "$here/export.py" --check "$out"
if [ "$SMOKE" = 1 ]; then  # the joints' own network, which was measured and is not shipped (MODEL_CARD.md)
  mkdir -p "$work/joints"
  python3 "$here/refine_data.py" "$work/crops.npz" --scenes 12 --seed 900000000 --net "$out/body.net"
  python3 "$here/train_refine.py" "$work/crops.npz" "$work/joints/joints.pt" --seconds 8 --seed 5
  python3 "$here/export.py" "$work/joints" "$work/joints"
fi
