#!/bin/sh
# One more round from the weights in data/proposal, in one command: grow a trainable network from them, train, write the small files, of the
# new weights and of their mean with the old ones (often the best of the three), and score all three side by side on fresh drawings.
# data/proposal stays as it is; the last lines say how to take new weights.
#   training/next_round.sh WORK_FOLDER [--seconds 1100] [--seed 133] [--rate 1.3e-3] [--kind body|head] [--pause SECONDS] [--pictures FOLDER]
#   training/next_round.sh WORK_FOLDER --smoke      every step in small, on a CPU, a few minutes
# All GPUs of the machine work on it; needs nvcc, PyTorch, onnx, OpenCV for Python. Where a command may only run for a while, --pause 500
# stops before that and the same command goes on; it ends with a line that begins with "paused" until all seconds are used.
set -e
here=$(cd "$(dirname "$0")" && pwd)
usage() { sed -n '2,9s/^# \{0,1\}//p' "$0" >&2; exit 2; }
[ -n "$1" ] || usage
case $1 in -*) usage ;; esac
work=$1; shift
seconds=1100 seed=133 rate=1.3e-3 kind=body pause=0 pictures='' smoke=''
while [ $# -gt 0 ]; do
  case $1 in
    --smoke) smoke=1; shift; continue ;;
    --seconds|--seed|--rate|--kind|--pause|--pictures) [ $# -gt 1 ] || usage ;;
    *) usage ;;
  esac
  eval "${1#--}=\$2"; shift 2
done
case $kind in body|head) ;; *) usage ;; esac
[ -z "$pictures" ] || pictures=$(cd "$pictures" && pwd)
mkdir -p "$work/from" "$work/to" "$work/net" "$work/mean" "$work/mean_net"
work=$(cd "$work" && pwd)
cd "$here"
python=${PYTHON:-python3}
scenes=240
[ -z "$smoke" ] || scenes=16

[ -f "$work/from/$kind.pt" ] || "$python" unfold.py "../data/proposal/$kind.net" "$work/from/$kind.pt"
if [ -n "$smoke" ]; then
  "$python" train.py "$kind" --smoke --batch 4 --seed "$seed" --rate 1e-6 --out "$work/to" --init "$work/from/$kind.pt"
else
  export DRAWER_SO="$work/drawer.so"
  [ -f "$DRAWER_SO" ] || nvcc -O3 -use_fast_math -arch=native -shared -Xcompiler -fPIC -o "$DRAWER_SO" drawer/drawer.cu -diag-suppress=177,550
  set -- train.py "$kind" --seconds "$seconds" --seed "$seed" --rate "$rate" --cover 0.25 --pause "$pause" --out "$work/to" --init "$work/from/$kind.pt"
  gpus=$("$python" -c 'import torch; print(torch.cuda.device_count())')
  if [ "$gpus" -gt 1 ]; then "$python" -m torch.distributed.run --standalone --nproc_per_node "$gpus" "$@"; else "$python" "$@"; fi
  if [ "$pause" != 0 ] && ! "$python" -c "import sys, torch; sys.exit(torch.load(sys.argv[1], map_location='cpu', weights_only=False)['spent'] < float(sys.argv[2]) - 1)" "$work/to/state_$kind.pt" "$seconds"; then
    echo "paused: run the same command again to go on"
    exit 0
  fi
fi
"$python" export.py "$work/to" "$work/net"
"$python" export.py --check "$work/net"
"$python" average.py "$work/from/$kind.pt" "$work/to/$kind.pt" "$work/mean/$kind.pt"
"$python" export.py "$work/mean" "$work/mean_net"

if [ "$kind" = body ]; then  # fresh drawings of our own, other seeds than any training's
  [ -d "$work/fresh" ] || "$python" refine_data.py "$work/fresh" --pictures --scenes "$scenes" --seed 980000000
  for folder in "$work/fresh" $pictures; do
    for which in from to mean; do
      echo "== $which, $folder"
      "$python" evaluate.py "$folder" --body "$work/$which/body.pt" | grep '^body'
    done
  done
elif [ -n "$pictures" ]; then
  for which in from to mean; do
    echo "== $which, $pictures"
    "$python" evaluate.py "$pictures" --head "$work/$which/head.pt" | grep '^head'
  done
fi
echo "to take them: cp $work/net/$kind.net (or $work/mean_net/$kind.net) $here/../data/proposal/, build, bench_proposal on fresh drawings and then once on the pictures;"
echo "set the threshold for figures and the three constants of stated errors again (MODEL_CARD.md), and write down what was measured"
