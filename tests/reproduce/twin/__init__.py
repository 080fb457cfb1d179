"""A model of a quadrotor that shares nothing with `sim` but the sheet of the aircraft and names of columns.

Rigid body and contact are those of a general-purpose physics engine (MuJoCo); rotors, pack, sensors,
estimator, controller and pilot are other ones than ours, in structure and in numbers. It is there
to be wrong about by as much as a real aircraft would be. All numbers are own unless said otherwise.
"""
