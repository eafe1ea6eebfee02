#!/bin/sh
# From nothing to data/proposal/*.net: three rounds on a machine with two GPUs (about 25 minutes), the mean of the last two
# rounds' body weights, export. Needs nvcc, PyTorch, onnx, OpenCV for Python.
#   training/make_weights.sh WORK_FOLDER [PICTURES TO SCORE]
set -e
here=$(cd "$(dirname "$0")" && pwd)
work=$1; pictures=$2
[ -n "$work" ] || { echo "usage: make_weights.sh WORK_FOLDER [PICTURES]" >&2; exit 2; }
mkdir -p "$work"
work=$(cd "$work" && pwd)
COMPILE=0 "$here/round.sh" "$work/1" 400 11 "" "$pictures"
COMPILE=1 TOGETHER=1 "$here/round.sh" "$work/2" 450 22 "$work/1" "$pictures"
COMPILE=0 TOGETHER=1 BATCH=384 RATE=1.2e-3 "$here/round.sh" "$work/3" 425 33 "$work/2" "$pictures"
mkdir -p "$work/mean"
python3 "$here/average.py" "$work/2/body.pt" "$work/3/body.pt" "$work/mean/body.pt"
cp "$work/3/head.pt" "$work/mean/head.pt"
python3 "$here/export.py" "$work/mean" "$here/../data/proposal"
