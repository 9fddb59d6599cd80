"""Launch, air, flight, bounce, skid, roll and hole: one shot from strike to rest.

The doors of this package (importing them compiles nothing; kernels load with the first ball):

- firstbounce.shot.launch: launch, face_contact, stance_effect: delivery to velocity and spin
- firstbounce.shot.play: play, play_on, roll, trace: ball to finish
- firstbounce.shot.aim: aim: landing spot to strike
- firstbounce.shot.laws: Laws, AirSpec, HoleSpec, OUTCOMES and the columns of the ground's scatter
- firstbounce.shot.air: weather to AirSpec
- firstbounce.shot.executor: run_chunks, thread_count
"""
