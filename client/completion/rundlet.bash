# Completion of rundlet for bash. What there is to write, rundlet itself knows: it gets the line up to the cursor, and
# prints what readline may put in the place of the word that is begun, quoted as the line has it.
_rundlet() {
  local candidate line=${COMP_LINE:0:COMP_POINT}
  COMPREPLY=()
  while IFS= read -r candidate; do
    case $candidate in
      :files) compopt -o default 2>/dev/null ;;
      :directories) compopt -o dirnames 2>/dev/null ;;
      :more) compopt -o nospace 2>/dev/null ;;
      *) COMPREPLY+=("$candidate") ;;
    esac
  done < <("${COMP_WORDS[0]/#\~/$HOME}" complete bash -- "$line" 2>/dev/null)
}
complete -F _rundlet rundlet
