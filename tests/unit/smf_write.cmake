fifthpeg_test(NAME unit_smf_write
  SOURCES smf_write_test.cpp smf_write_losses_test.cpp smf_write_ring_test.cpp
  PARTS fifthpeg_write_smf fifthpeg_score)
