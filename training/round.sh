#!/bin/sh
# One round on one machine with one or two GPUs: both networks side by side, then their scores.
#   training/round.sh OUT SECONDS SEED [FOLDER WITH body.pt AND head.pt TO GO ON FROM] [PICTURES TO SCORE]
set -e
cd "$(dirname "$0")"
out=$1; seconds=$2; seed=$3; from=$4; pictures=$5
mkdir -p "$out"
init() { [ -n "$from" ] && [ -f "$from/$1.pt" ] && echo "--init $from/$1.pt"; true; }
if [ "$SMOKE" = 1 ]; then  # three small steps of each on a CPU: everything but the GPU's drawer
  for kind in body head; do python3 train.py $kind --smoke --batch 4 --seed "$seed" --out "$out" $(init $kind); done
  exit
fi
export DRAWER_SO=$out.drawer.so
nvcc -O3 -use_fast_math -arch=native -shared -Xcompiler -fPIC -o "$DRAWER_SO" drawer/drawer.cu -diag-suppress=177,550
gpus=$(python3 -c 'import torch; print(torch.cuda.device_count())')
if [ "$gpus" -gt 1 ] && [ "$TOGETHER" = 1 ]; then  # all GPUs on the body, the head beside it
  python3 train.py head --gpu 1 --seconds "$seconds" --seed "$seed" --batch "${BATCH:-256}" --rate "${RATE:-1.5e-3}" --out "$out" $(init head) & head=$!
  torchrun --standalone --nproc_per_node "$gpus" train.py body --seconds "$seconds" --seed "$seed" --batch "${BATCH:-256}" --rate "${RATE:-1.5e-3}" --out "$out" $(init body)
  wait $head
elif [ "$gpus" -gt 1 ]; then
  python3 train.py body --gpu 0 --seconds "$seconds" --seed "$seed" --out "$out" $(init body) & body=$!
  python3 train.py head --gpu 1 --seconds "$seconds" --seed "$seed" --out "$out" $(init head) & head=$!
  wait $body; wait $head
else
  python3 train.py body --seconds "$(expr "$seconds" \* 3 / 4)" --seed "$seed" --out "$out" $(init body)
  python3 train.py head --seconds "$(expr "$seconds" / 4)" --seed "$seed" --out "$out" $(init head)
fi
[ -z "$pictures" ] || python3 evaluate.py "$pictures" --body "$out/body.pt" --head "$out/head.pt" --sheet "$out/scored.jpg"
