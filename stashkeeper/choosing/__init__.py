"""Judgement: which fabric serves a group better, and why."""
