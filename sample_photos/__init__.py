"""The sample shelf: fabrics we drew, the phone we simulated, their photos and the truth."""
