"""Explorers: one file for each chapter; controls, compute, picture and words."""
