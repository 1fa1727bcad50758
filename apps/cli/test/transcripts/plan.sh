samescale practice start rules > /dev/null
typed plan wound --practice rules --side left --place ward
typed plan full-length --practice rules --free-m 2
