#compdef rundlet
# Completion of rundlet for zsh. What there is to write, rundlet itself knows.
_rundlet() {
  local line value
  local -a plain plain_about more more_about before
  before=("${(@Q)words[2,CURRENT-1]}")
  for line in "${(@f)$("${(Q)words[1]}" complete zsh -- "${before[@]}" "${(Q)PREFIX}" 2>/dev/null)}"; do
    value=${line%%$'\t'*}
    case $value in
      '') ;;
      :files) _files ;;
      :directories) _files -/ ;;
      *=)
        more+=("$value")
        more_about+=("${${line//$'\t'/  -- }%  -- }")
        ;;
      *)
        plain+=("$value")
        plain_about+=("${${line//$'\t'/  -- }%  -- }")
        ;;
    esac
  done
  (( $#plain )) && compadd -M 'm:{a-zA-Z}={A-Za-z}' -l -d plain_about -a plain
  (( $#more )) && compadd -M 'm:{a-zA-Z}={A-Za-z}' -S '' -l -d more_about -a more
}
# Sourced, it is made known here; found by compinit, it runs at once.
if [[ $funcstack[1] == _rundlet ]]; then
  _rundlet "$@"
else
  compdef _rundlet rundlet
fi
