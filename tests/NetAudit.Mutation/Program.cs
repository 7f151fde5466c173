using System.Collections.Concurrent;
using System.Globalization;
using Microsoft.CodeAnalysis.CSharp;
using NetAudit.Mutation;

// SEED COUNT FOLDER...   so many slips of each folder of src/NetAudit, drawn by the seed, each alone under the tests of that folder, then
// under those of what uses it
if (args is not [var seedWord, var countWord, _, ..])
{
    Console.Error.WriteLine(
        "SEED COUNT FOLDER...: for example 1 100 Netlists Simulation Diagnosis"
    );
    return 2;
}
var seed = int.Parse(seedWord, CultureInfo.InvariantCulture);
var count = int.Parse(countWord, CultureInfo.InvariantCulture);

var drawn = args[2..]
    .SelectMany(folder => Draw(folder).Select(mutant => (Folder: folder, Mutant: mutant)))
    .ToArray();
var compiled = MutatedLibrary.Build([.. drawn.Select(one => one.Mutant)]);
Console.WriteLine($"{compiled.Count} of {drawn.Length} compile");
foreach (var folder in args[2..])
{
    Try(folder, [.. compiled.Where(id => drawn[id].Folder == folder).Order()]);
}
return 0;

Mutant[] Draw(string folder)
{
    Mutant[] all =
    [
        .. Directory
            .EnumerateFiles(
                Repository.At("src", "NetAudit", folder),
                "*.cs",
                SearchOption.AllDirectories
            )
            .Select(Repository.Relative)
            .Where(file => !file.Contains("Generated", StringComparison.Ordinal))
            .Order(StringComparer.Ordinal)
            .SelectMany(file =>
                Slips.In(
                    file,
                    CSharpSyntaxTree.ParseText(File.ReadAllText(Repository.At(file))).GetRoot()
                )
            ),
    ];
    new Random(seed).Shuffle(all);
    Console.WriteLine($"{folder}: {Math.Min(count, all.Length)} of {all.Length} slips");
    return all[..Math.Min(count, all.Length)];
}

void Try(string folder, int[] ids)
{
    var runs = TestRun.Of(folder);
    foreach (var run in runs)
    {
        run.Watch();
    }
    var killers = new ConcurrentBag<TestRun>();
    var unseen = 0;
    var tried = 0;
    Parallel.ForEach(
        ids,
        new ParallelOptions { MaxDegreeOfParallelism = 2 },
        id =>
        {
            if (runs.FirstOrDefault(run => run.Kills(id)) is { } killer)
            {
                killers.Add(killer);
            }
            else if (runs.Any(run => run.Sees(id)))
            {
                Console.WriteLine($"survived: {drawn[id].Mutant}");
            }
            else
            {
                Interlocked.Increment(ref unseen);
                Console.WriteLine($"no test comes by: {drawn[id].Mutant}");
            }
            Console.Error.WriteLine($"{Interlocked.Increment(ref tried)} of {ids.Length}");
        }
    );
    var own = killers.Count(killer => killer.IsOwn);
    Console.WriteLine(
        $"{folder}: {Share(killers.Count)} killed, {Share(own)} by the folder's own tests; {ids.Length - killers.Count - unseen} survived, {unseen} that no test comes by"
    );

    string Share(int part) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{part} of {ids.Length} ({100.0 * part / Math.Max(1, ids.Length):0} %)"
        );
}
