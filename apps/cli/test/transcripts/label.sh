# A label with a Data Matrix code.
base64 -d > label.png <<'LABEL'
iVBORw0KGgoAAAANSUhEUgAAAJAAAACQAQMAAADdiHD7AAAABlBMVEX///8AAABVwtN+AAAACXBIWXMAAAsSAAALEgHS3X78AAAAY0lEQVRIx+
3UMQ4AIQwDQf7/aVM4JqGk2wIjODGVxQnW+nmMroEi+ZuFQndPDsneDKGwdH4tgdxxGoN8eFUZRKq6yqWgUG3UTweCvM0CojxroyqC3HCcIYNU
89wECs1w6OchG+u/fK4AN6AmAAAAAElFTkSuQmCC
LABEL
printf 'P6 1 1 255 aaa' > nothing.txt

samescale label label.png
echo "exit $?"
samescale label label.png nothing.txt --json
echo "exit $?"
