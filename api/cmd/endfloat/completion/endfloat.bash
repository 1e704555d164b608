# bash completion of endfloat: source <(endfloat completion bash)
_endfloat() {
  local word current=${COMP_WORDS[COMP_CWORD]}
  COMPREPLY=()
  while IFS= read -r word; do
    if [[ $word == :file ]]; then
      compopt -o filenames 2>/dev/null
      while IFS= read -r word; do COMPREPLY+=("$word"); done < <(compgen -f -- "$current")
    else
      COMPREPLY+=("$word")
      if [[ $word == */ ]]; then compopt -o nospace 2>/dev/null; fi
    fi
  done < <("${COMP_WORDS[0]/#\~/$HOME}" completion words -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -F _endfloat endfloat
