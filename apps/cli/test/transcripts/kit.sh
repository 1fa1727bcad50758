samescale practice start rules > /dev/null
typed kit set l-scale-1 --practice rules --broken "leg bent" --where workshop
typed kit set battery-body --practice rules --charged no
typed kit list --practice rules --day 2026-05-04
typed kit front macro-60 --practice rules --at 1:2=110 --at 1:4=231 --at 1:10=590 --keep
typed kit set nothing --practice rules --charged yes
