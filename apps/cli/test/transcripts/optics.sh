samescale optics --focal-mm 100 --ratio 1:4 --f-number 16 --f-number-shown marked --front-mm 70 --hiatus-mm -5 --focusing extension --pupil-ratio 0.8 --depth-mm 10 --guide-number 12
samescale optics --focal-mm 100 --ratio 10
echo "exit $?"
