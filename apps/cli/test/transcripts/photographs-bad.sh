# Every input is answered, in order, whatever is wrong with its neighbours.
base64 -d > photo.jpg <<'PHOTO'
/9j/4QEIRXhpZgAASUkqAAgAAAAEAA8BAgAJAAAAPgAAABABAgAJAAAASAAAABIBAwABAAAABgAAAGmHBAABAAAAUgAAAAAAAABJbnZlbnRlZA
AAQm9keSBPbmUAAAkAmoIFAAEAAADEAAAAnYIFAAEAAADMAAAAJ4gDAAEAAABkAAAAA5ACABQAAADUAAAAEZACAAcAAADoAAAACZIDAAEAAAAB
AAAACpIFAAEAAADwAAAADqIFAAEAAAD4AAAAEKIDAAEAAAADAAAAAAAAAAEAAACgAAAAEAAAAAEAAAAyMDI2OjAzOjE1IDE0OjMwOjAwACswMT
owMAAAZAAAAAEAAABiZQAA6AMAAP/bAEMAEAsMDgwKEA4NDhIREBMYKBoYFhYYMSMlHSg6Mz08OTM4N0BIXE5ARFdFNzhQbVFXX2JnaGc+TXF5
cGR4XGVnY//bAEMBERISGBUYLxoaL2NCOEJjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY2NjY//AABEIAB
AAGAMBIgACEQEDEQH/xAAVAAEBAAAAAAAAAAAAAAAAAAAAAv/EABQQAQAAAAAAAAAAAAAAAAAAAAD/xAAUAQEAAAAAAAAAAAAAAAAAAAAA/8QA
FBEBAAAAAAAAAAAAAAAAAAAAAP/aAAwDAQACEQMRAD8AsAAAH//Z
PHOTO
mkdir folder other
: > empty.jpg
head -c 500 photo.jpg > cut.jpg
echo "Dear colleague" > letter.jpg
cp photo.jpg "left leg.jpg"
cp photo.jpg "two
lines.jpg"
cp photo.jpg -- "-dash.jpg"
cp photo.jpg other/photo.jpg
cp photo.jpg "$(printf 'fu\337.jpg')"
esc=$(printf 'a\033[31mred.jpg')

samescale info missing.jpg folder empty.jpg letter.jpg "$esc"
echo "exit $?"
samescale label cut.jpg photo.jpg --json
echo "exit $?"
samescale info --json -- "left leg.jpg" "two
lines.jpg" -dash.jpg | cut -c 1-60
samescale info photo.jpg other/photo.jpg photo.jpg --json | cut -c 1-60
samescale info --json "$(printf 'fu\337.jpg')" "$(printf 'no\337.jpg')" | cut -c 1-120
samescale info
echo "exit $?"
samescale info -dash.jpg
echo "exit $?"
samescale info photo.jpg --colour
echo "exit $?"
samescale info photo.jpg --json | true
echo "closed pipe $?"
