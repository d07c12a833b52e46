"""Gradient boosting as a baseline of the diagnosis: trained on draws of our own model, tried on the cases of the trial.

    cargo xtask evaluate diagnosis --draws draws.jsonl --cases 12000 --seed 99
    cargo xtask evaluate diagnosis --dump cases.jsonl
    python boost_faults.py draws.jsonl cases.jsonl

Needs scikit-learn (1.9.1 was used). Prints one line of JSON: cases counted, top-1, top-2 and log score of the learner, and
of the diagnosis on the same cases.
"""

import json
import sys

import numpy
from sklearn.ensemble import HistGradientBoostingClassifier

CAUSES = 26


def lines(path):
    with open(path, encoding="utf-8") as file:
        return [json.loads(line) for line in file]


def scores(chances, truth):
    order = numpy.argsort(-chances, axis=1)
    of_truth = chances[numpy.arange(len(truth)), truth]
    return {
        "top_1": round(float((order[:, 0] == truth).mean()), 4),
        "top_2": round(float((order[:, :2] == truth[:, None]).any(axis=1).mean()), 4),
        "log_score": round(float(-numpy.log(numpy.maximum(of_truth, 1e-6)).mean()), 4),
    }


def main():
    drawn, tried = lines(sys.argv[1]), lines(sys.argv[2])
    tried = [c for c in tried if not c["alarms"] and c["visible"] and c["truth"] is not None]
    learner = HistGradientBoostingClassifier(
        learning_rate=0.08, max_iter=150, max_leaf_nodes=15, l2_regularization=1.0, early_stopping=True, random_state=1
    )
    learner.fit(numpy.array([d["features"] for d in drawn]), numpy.array([d["truth"] for d in drawn]))
    said = learner.predict_proba(numpy.array([c["features"] for c in tried]))
    chances = numpy.zeros((len(tried), CAUSES))
    chances[:, learner.classes_] = said
    truth = numpy.array([c["truth"] for c in tried])
    ours = numpy.array([c["chances"] for c in tried])
    print(
        json.dumps(
            {
                "drawn": len(drawn),
                "counted": len(tried),
                "rounds": int(learner.n_iter_),
                "boosting": scores(chances, truth),
                "ours": scores(ours, truth),
            }
        )
    )


main()
