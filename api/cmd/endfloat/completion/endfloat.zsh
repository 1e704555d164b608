#compdef endfloat
# zsh completion of endfloat: source <(endfloat completion zsh)
_endfloat() {
  local word
  local -a whole open
  for word in "${(@f)$("${words[1]/#\~/$HOME}" completion words -- "${(@)words[2,CURRENT]}" 2>/dev/null)}"; do
    case $word in
      :file) _files ;;
      */) open+=("$word") ;;
      ?*) whole+=("$word") ;;
    esac
  done
  (( ${#whole} )) && compadd -- "${whole[@]}"
  (( ${#open} )) && compadd -S '' -- "${open[@]}"
  (( ${#whole} + ${#open} ))
}
compdef _endfloat endfloat
