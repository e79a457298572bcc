#!/bin/sh
# A plan as a job array: every job computes one part, a last one merges them.
#   THAWLINE=/path/to/thawline cases/examples/plans/slurm-array.sh PLAN.yaml PARTS
# Tables are left in the folder it is called from, which all nodes must see. A job that is killed or
# put back in the queue goes on where it was; call this again after jobs that failed: parts that are
# whole already are left as they are.
set -eu
plan=$1
parts=$2
: "${THAWLINE:=thawline}"
cores=${CORES:-1}
name=$(basename "$plan" .yaml)

array=$(sbatch --parsable --job-name="$name" --array="1-$parts" --cpus-per-task="$cores" \
  --requeue --output="$name.part-%a.log" --open-mode=append \
  --wrap "srun '$THAWLINE' batch '$plan' --part \$SLURM_ARRAY_TASK_ID/$parts --jobs $cores")
merge=$(sbatch --parsable --job-name="$name-merge" --dependency="afterok:$array" \
  --kill-on-invalid-dep=yes --output="$name.merge.log" \
  --wrap "'$THAWLINE' merge '$name'.part-*-of-$parts.h5 --to '$name.h5'")
echo "parts: job $array, merge: job $merge"
