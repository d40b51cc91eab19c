"""Explorers: one file for each chapter; controls, compute, picture and words."""

from tempkit.explorers.predict import Prediction as predict

__all__ = ["predict"]
