# fish completion of endfloat: endfloat completion fish > ~/.config/fish/completions/endfloat.fish
function __endfloat_words
    set -l words (commandline -opc)
    set -l begun (commandline -ct)
    for word in ($words[1] completion words -- $words[2..-1] "$begun" 2>/dev/null)
        if test "$word" = ":file"
            __fish_complete_path "$begun"
        else
            echo $word
        end
    end
end
complete -c endfloat -f -a '(__endfloat_words)'
