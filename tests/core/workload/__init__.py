"""Tests of core/workload."""
