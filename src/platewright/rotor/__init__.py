"""Propellers, motors and batteries: measured tables, predictions with bands, hover. m, N, Pa, kg, s, rad/s."""
