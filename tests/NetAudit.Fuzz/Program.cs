using System.Globalization;
using System.Text;
using NetAudit.Fuzz.Loop;
using NetAudit.Fuzz.Targets;
using SharpFuzz;

// afl TARGET                                     one text on standard input, driven by AFL++
// loop TARGET INPUTS FOUND [SECONDS] [SEED]      texts from a seed
// draw TARGET FOLDER COUNT [SEED]                texts of the grammar, to start a coverage-guided fuzzer from
// try TARGET FILE...                             texts again
if (args is not [var verb, var name, .. var more])
{
    Console.Error.WriteLine("verbs: afl, loop, draw, try; see tests/NetAudit.Fuzz/run");
    return 2;
}
var target = FuzzTarget.Of(name);
switch (verb)
{
    case "afl":
        Fuzzer.OutOfProcess.Run(stream =>
        {
            using var reader = new StreamReader(stream, Encoding.UTF8);
            target.Check(reader.ReadToEnd());
        });
        return 0;
    case "loop":
        return Loop(more[0], more[1], Number(more, 2, 60), Number(more, 3, 1));
    case "draw":
        var random = new Random(Number(more, 2, 1));
        for (var i = 0; i < Number(more, 1, 100); i++)
        {
            File.WriteAllText(Path.Combine(more[0], $"grammar-{i}"), target.Grammar.Draw(random));
        }
        return 0;
    default:
        var broken = 0;
        foreach (var file in more)
        {
            var finding = FuzzLoop.Try(target, File.ReadAllText(file));
            Console.WriteLine($"{file}: {finding?.What ?? "holds"}");
            broken += finding is null ? 0 : 1;
        }
        return broken == 0 ? 0 : 1;
}

int Loop(string inputs, string found, int seconds, int seed)
{
    Directory.CreateDirectory(found);
    using var stop = new CancellationTokenSource(TimeSpan.FromSeconds(seconds));
    var loop = new FuzzLoop(target, Inputs.Of(inputs, name), seed)
    {
        LastInputFile = Path.Combine(found, $"{name}-last"),
    };
    var count = 0;
    foreach (var finding in loop.Run(long.MaxValue, stop.Token))
    {
        File.WriteAllText(Path.Combine(found, $"{name}-{count}"), finding.Text);
        Console.WriteLine($"{name}-{count}: {finding.What}");
        if (++count == 50)
        {
            break;
        }
    }
    return count == 0 ? 0 : 1;
}

static int Number(string[] words, int at, int usual) =>
    words.Length > at ? int.Parse(words[at], CultureInfo.InvariantCulture) : usual;
